#include "calendar/solve.h"

#include "calendar/bound.h"
#include "calendar/plain.h"
#include "calendar/problem.h"
#include "calendar/search.h"

namespace tackcloth::calendar {

Outcome solve(const Model& model, const Options& options) {
  Outcome outcome;
  Problem problem(model);
  const std::string reason = prepare(problem);
  if (!reason.empty()) {
    outcome.status = Status::infeasible;
    outcome.explanation = reason;
    return outcome;
  }
  const Cost bound = lower_bound(problem);
  if (const auto plain = plain_of(problem)) return search_plain(problem, *plain, bound, options);
  return search(problem, bound, options);
}

}  // namespace tackcloth::calendar
