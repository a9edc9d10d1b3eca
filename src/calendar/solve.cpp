#include "calendar/solve.h"

#include "calendar/bound.h"
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
  return search(problem, lower_bound(problem), options);
}

}  // namespace tackcloth::calendar
