#include "service/slow.h"

#include <utility>

namespace tackcloth::service {

namespace {
constexpr std::size_t kMostKept = 64, kMostWaiting = 32;
}

Slow::Slow(const std::map<std::string, SlowAnswer>& answers, ledger::Ledger& ledger,
           std::function<void(const std::string&)> told)
    : answers_(answers), ledger_(ledger), told_(std::move(told)), worker_([this] { work(); }) {}

Slow::~Slow() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  ready_.notify_all();
  worker_.join();
}

Response Slow::ask(const std::string& name, const std::string& about, long long stored) {
  Response response;
  response.headers["Cache-Control"] = "no-store";
  const std::lock_guard lock(mutex_);
  if (kept_.size() > kMostKept) kept_.clear();
  Kept& kept = kept_[{name, about}];
  if (kept.stored == stored && kept.trouble) return refusal(500, *kept.trouble);
  if (kept.stored == stored) {
    response.body = kept.text;
    return response;
  }
  if (!kept.asked) {
    if (queue_.size() >= kMostWaiting)
      return refusal(503, problem_of("too much is being worked out", "a quieter moment", "ask again later"));
    kept.asked = true;
    queue_.push_back({{name, about}, stored});
    ready_.notify_all();
  }
  response.status = 202;
  response.body = "{\"status\":\"being worked out\"}\n";
  return response;
}

void Slow::work() {
  for (;;) {
    std::pair<Key, long long> job;
    {
      std::unique_lock lock(mutex_);
      ready_.wait(lock, [this] { return !queue_.empty() || ending_; });
      if (ending_) return;
      job = queue_.front();
      queue_.pop_front();
    }
    const auto& [name, about] = job.first;
    Result<std::string> found = tl::unexpected(problem_of("not worked out", "an answer", "ask again"));
    try {
      found = answers_.at(name)(ledger_, about, [this] {
        const std::lock_guard lock(mutex_);
        return ending_;
      });
    } catch (const std::exception& error) {
      found = tl::unexpected(problem_of(std::string("it could not be worked out: ") + error.what(), "an answer",
                                        "ask again after the next plan"));
    }
    {
      const std::lock_guard lock(mutex_);
      Kept& kept = kept_[job.first];
      kept.asked = false;
      kept.stored = job.second;
      kept.trouble.reset();
      if (found)
        kept.text = *found + "\n";
      else
        kept.trouble = found.error();
    }
    told_(name);
  }
}

}  // namespace tackcloth::service
