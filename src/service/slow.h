// Answers that take seconds: each is worked out once for what is stored, on a thread of its own, and kept until
// something is added.
#pragma once

#include <condition_variable>
#include <deque>
#include <map>
#include <mutex>
#include <string>
#include <thread>

#include "service/http.h"
#include "service/service.h"

namespace tackcloth::service {

class Slow {
 public:
  // `told` is called from the thread with a name whenever an answer of that name is there.
  Slow(const std::map<std::string, SlowAnswer>& answers, ledger::Ledger& ledger,
       std::function<void(const std::string& name)> told);
  ~Slow();
  Slow(const Slow&) = delete;
  Slow& operator=(const Slow&) = delete;

  bool offers(const std::string& name) const { return answers_.count(name) > 0; }
  // `stored`: what the ledger holds, as a number that grows with it. 200 with the answer, 202 while it is worked out,
  // 500 with the reason why it could not be.
  Response ask(const std::string& name, const std::string& about, long long stored);

 private:
  using Key = std::pair<std::string, std::string>;
  struct Kept {
    long long stored = -1;
    bool asked = false;
    std::string text;
    std::optional<Problem> trouble;
  };
  void work();

  const std::map<std::string, SlowAnswer>& answers_;
  ledger::Ledger& ledger_;
  const std::function<void(const std::string&)> told_;
  std::mutex mutex_;
  std::condition_variable ready_;
  std::map<Key, Kept> kept_;
  std::deque<std::pair<Key, long long>> queue_;
  bool ending_ = false;
  std::thread worker_;  // last: what it uses is there before it starts
};

}  // namespace tackcloth::service
