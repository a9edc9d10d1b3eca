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
  std::vector<catalog::Finding> findings;              // entries the plan has no step for any more
};

// Lead tests only: needed before there are tasks. The step id of an entry is the piece id, or that and a number; a
// piece stated as tested in the job file counts too. A positive entry outweighs a negative one.
LogReading read_lead(const std::vector<LogEntry>& log, const job::Job& job);
// The rest, once the tasks are known. An entry with a mark belongs to the task the mark speaks of; where there is none
// any more, or its piece is gone, it is kept and counts for nothing. A Problem for an unknown word, or an unknown step
// without a mark.
std::optional<Problem> read_log(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, Instant start,
                                const job::Job& job, LogReading& reading);

}  // namespace tackcloth::plan
