// A few threads that run numbered jobs; which thread takes which job never changes a result.
#pragma once

#include <atomic>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace tackcloth::calendar {

class Crew {
 public:
  explicit Crew(int threads);
  ~Crew();
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;
  int size() const { return static_cast<int>(threads_.size()) + 1; }
  // Calls job(worker, k) for every k in [0, jobs) and returns when all are done; worker in [0, size()).
  void run(int jobs, const std::function<void(int, int)>& job);

 private:
  void work(int worker);
  std::vector<std::thread> threads_;
  std::mutex mutex_;
  std::condition_variable wake_, done_;
  const std::function<void(int, int)>* job_ = nullptr;
  std::atomic<int> next_{0};
  int jobs_ = 0, busy_ = 0;
  std::uint64_t round_ = 0;
  bool stop_ = false;
};

}  // namespace tackcloth::calendar
