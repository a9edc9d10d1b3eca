// Answers that take longer than others should wait for: each is worked out on a thread beside the network's, one after
// the other.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

#include "service/http.h"

namespace tackcloth::service {

class Aside {
 public:
  using Work = std::function<Response()>;      // on the thread of its own
  using Done = std::function<void(Response)>;  // where `back` calls it
  using Back = std::function<void(std::function<void()>)>;
  explicit Aside(Back back);
  // What waits is not begun; what is being worked out is waited for.
  ~Aside();
  Aside(const Aside&) = delete;
  Aside& operator=(const Aside&) = delete;

  // False when too much is waiting already: then neither is called.
  bool add(Work work, Done done);

 private:
  void run();

  const Back back_;
  std::mutex mutex_;
  std::condition_variable ready_;
  std::deque<std::pair<Work, Done>> waiting_;
  bool ending_ = false;
  std::thread worker_;  // last: what it uses is there before it starts
};

}  // namespace tackcloth::service
