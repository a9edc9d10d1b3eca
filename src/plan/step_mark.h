// What a step was when something was logged for it. Ids number the steps of a piece (chair-07), and a number shifts
// when a part, a zone or a coat is added; what was done at the bench must not shift with it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

struct StepMark {
  std::string piece, step, product;  // ids; step as finish::to_text
  std::vector<std::string> zones;    // "part/zone"
  int grit = 0;
  int nth = 0;  // among the steps of the piece alike in all of the above, from 0
  // What the plan said of its hours; empty and zero in marks of an earlier version.
  std::string kind;  // of task (plan/pace_log.h)
  double minutes = 0, table_minutes = 0;
  std::vector<StepUse> uses;  // what it was to take from the shelf
  bool uses_told = false;     // false in marks of an earlier version
};

// Of a step in a plan as stored, as JSON; "" when the plan has no such step.
std::string mark_of(std::string_view plan_json, const std::string& step_id);
std::optional<StepMark> read_mark(std::string_view json);

// The task that mark speaks of: same piece, step, product and grit, and zones of which at least half are the same; the
// nearest in zones, then in order. Nothing when there is none any more.
std::optional<std::size_t> find_marked(const std::vector<Task>& tasks, const job::Job& job, const StepMark& mark);

}  // namespace tackcloth::plan
