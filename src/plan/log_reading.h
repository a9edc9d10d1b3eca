// The bench log read against the tasks of the plan.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "plan/dates.h"

namespace tackcloth::plan {

struct LogReading {
  std::vector<Seen> seen;                              // one a task
  calendar::Tick now = 0;                              // the newest entry
  std::set<std::string> lead_negative, lead_positive;  // piece ids
};

// Lead tests only: needed before there are tasks. The step id of an entry starts with the piece id; a piece stated as
// tested in the job file counts too. A positive entry outweighs a negative one.
LogReading read_lead(const std::vector<LogEntry>& log, const job::Job& job);
// The rest, once the tasks are known. A Problem for an unknown step or word.
std::optional<Problem> read_log(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, Instant start,
                                LogReading& reading);

}  // namespace tackcloth::plan
