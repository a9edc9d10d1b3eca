// How long steps took, from the bench log.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "plan/pace.h"
#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

// The kind of task a step is, for its pace: "coat by brush", "sand", "take apart".
std::string pace_kind(const finish::Step& step);

struct Spent {
  std::optional<double> minutes;  // hands-on, by the clock; with two people at it their hours are twice that
  bool by_clock = false;          // not told: from "started" to "done", within one stretch of working hours
  std::optional<double> planned;  // what the plan said when it was logged as done
};
struct PaceReading {
  std::vector<Spent> tasks;     // one a task
  std::vector<PaceLine> lines;  // of steps that are done; also of those the plan has no more, as their marks tell
};
// A time told with "done" (or with the result of a lead test) is that of the whole step; said twice, the last one
// counts. A step nobody told the time of has none.
PaceReading read_pace(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, const job::Job& job);

// Kinds of which steps of this piece that are to come are planned at the shop's own pace.
std::vector<LearnedPace> paces_used(const OwnPace& pace, const PlannedPiece& piece);

}  // namespace tackcloth::plan
