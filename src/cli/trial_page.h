// What a change to the job would do, planned beside the job as it stands; nothing is stored.
#pragma once

#include <deque>
#include <functional>
#include <mutex>
#include <string>
#include <utility>

#include "cli/stored_plan.h"

namespace tackcloth::cli {

// Changes that were asked about, by a name made of their text; the oldest go. Used from several threads.
class Trials {
 public:
  // `body`: {"change": …} as for POST /api/job. {"trial": NAME} when the job would hold with it.
  Result<std::string> keep(ledger::Ledger& ledger, const std::string& body, const std::string& now,
                           const Context& context);
  // Dates, odds, prices and findings before and after, as JSON. Takes two plans' time; `ending` is asked between them.
  Result<std::string> answer(ledger::Ledger& ledger, const std::string& name, const std::string& now,
                             const Context& context, const std::function<bool()>& ending) const;

 private:
  mutable std::mutex mutex_;
  std::deque<std::pair<std::string, std::string>> kept_;  // name, change
};

}  // namespace tackcloth::cli
