#include "service/aside.h"

#include <string>
#include <utility>

namespace tackcloth::service {

namespace {
constexpr std::size_t kMostWaiting = 64;
}

Aside::Aside(Back back) : back_(std::move(back)), worker_([this] { run(); }) {}

Aside::~Aside() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  ready_.notify_all();
  worker_.join();
}

bool Aside::add(Work work, Done done) {
  {
    const std::lock_guard lock(mutex_);
    if (waiting_.size() >= kMostWaiting) return false;
    waiting_.emplace_back(std::move(work), std::move(done));
  }
  ready_.notify_all();
  return true;
}

void Aside::run() {
  for (;;) {
    std::pair<Work, Done> one;
    {
      std::unique_lock lock(mutex_);
      ready_.wait(lock, [this] { return !waiting_.empty() || ending_; });
      if (ending_) return;
      one = std::move(waiting_.front());
      waiting_.pop_front();
    }
    Response response;
    try {
      response = one.first();
    } catch (const std::exception& error) {
      response = refusal(500, problem_of(std::string("the request failed: ") + error.what(), "an answer", "try again"));
    }
    back_([done = std::move(one.second), response = std::move(response)]() mutable { done(std::move(response)); });
  }
}

}  // namespace tackcloth::service
