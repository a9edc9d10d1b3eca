#include "calendar/crew.h"

#include <algorithm>

namespace tackcloth::calendar {

Crew::Crew(int threads) {
  for (int k = 1; k < std::clamp(threads, 1, 64); ++k) threads_.emplace_back([this, k] { work(k); });
}

Crew::~Crew() {
  {
    const std::lock_guard lock(mutex_);
    stop_ = true;
  }
  wake_.notify_all();
  for (std::thread& t : threads_) t.join();
}

void Crew::work(int worker) {
  std::uint64_t seen = 0;
  for (;;) {
    std::unique_lock lock(mutex_);
    wake_.wait(lock, [&] { return stop_ || round_ != seen; });
    if (stop_) return;
    seen = round_;
    const auto* job = job_;
    const int jobs = jobs_;
    lock.unlock();
    for (int k = next_++; k < jobs; k = next_++) (*job)(worker, k);
    lock.lock();
    if (--busy_ == 0) done_.notify_one();
  }
}

void Crew::run(int jobs, const std::function<void(int, int)>& job) {
  if (threads_.empty()) {
    for (int k = 0; k < jobs; ++k) job(0, k);
    return;
  }
  {
    const std::lock_guard lock(mutex_);
    job_ = &job;
    jobs_ = jobs;
    next_ = 0;
    busy_ = static_cast<int>(threads_.size());
    ++round_;
  }
  wake_.notify_all();
  for (int k = next_++; k < jobs; k = next_++) job(0, k);
  std::unique_lock lock(mutex_);
  done_.wait(lock, [&] { return busy_ == 0; });
}

}  // namespace tackcloth::calendar
