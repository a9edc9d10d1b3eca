#include "plan/actual.h"

#include <algorithm>
#include <map>

#include "materials/share.h"

namespace tackcloth::plan {
namespace {

void add(ActualHours& to, const PlannedStep& step) {
  const double people = std::max(1, step.people);
  ++to.steps;
  to.planned_min += step.minutes * people;
  if (!step.done) return;
  ++to.done;
  if (!step.took_minutes) {
    to.untimed_planned_min += step.minutes * people;
    return;
  }
  ++to.timed;
  to.timed_planned_min += step.minutes * people;
  to.took_min += *step.took_minutes * people;
}

// At a price that stands. Nothing at all may be agreed, too: for a friend, or for what went wrong; then all that is
// spent is the shop's.
Result<materials::Offer> at_price(const materials::Costs& costs, Money price) {
  if (price.minor > 0) return materials::offer(costs, {materials::Ask::From::market, price}, {});
  auto free = materials::offer(costs, {}, {});
  if (!free) return free;
  const Money spent = free->materials + free->overhead + materials::sum_of(free->waste_fees);
  free->from = materials::Ask::From::market;
  free->work = free->earned = Money{} - spent;
  free->profit = free->net = free->tax = free->total = free->deposit = free->balance = {};
  if (free->minutes > 0) free->per_hour = materials::share_of(free->earned, 60, free->minutes);
  return free;
}

Result<PieceActual> actual_of(const job::Shop& shop, const job::PieceOrder& order, const PlannedPiece& piece) {
  PieceActual actual{piece.id, piece.name, piece.owner, {}, {}, {}, piece.price.materials, {}, false, {}, {}, false};
  std::map<std::string, ActualHours> kinds;
  for (const PlannedStep& step : piece.schedule) {
    const std::string& kind = step.task_kind.empty() ? step.step : step.task_kind;
    kinds[kind].kind = kind;
    add(kinds[kind], step);
    add(actual.all, step);
    if (step.done && step.step == "hand_over") actual.handed_over = step.end;
  }
  for (auto& [name, hours] : kinds) actual.kinds.push_back(hours);
  actual.hours_known = actual.all.timed == actual.all.steps;
  if (!order.bought.empty()) actual.materials_bought = materials::sum_of(order.bought);

  materials::Costs costs{piece.price.materials,       piece.price.hours,   shop.hourly_rate,
                         shop.overhead_percent,       shop.profit_percent, shop.tax_percent,
                         job::waste_fees(shop, order)};
  actual.agreed = order.agreed.has_value();
  const auto planned = order.agreed ? at_price(costs, *order.agreed) : materials::offer(costs, {}, {});
  if (!planned) return tl::unexpected(planned.error());
  actual.planned = *planned;
  costs.materials = actual.materials_bought.value_or(costs.materials);
  const ActualHours& all = actual.all;
  costs.hours = (all.planned_min - all.timed_planned_min + all.took_min) / 60;
  // What was asked stays asked, whatever the hours turn out to be.
  const auto went = at_price(costs, planned->total);
  if (!went) return tl::unexpected(went.error());
  actual.as_it_went = *went;
  return actual;
}

}  // namespace

Result<std::vector<PieceActual>> actuals(const job::Job& job, const Plan& plan) {
  std::vector<PieceActual> list;
  for (const PlannedPiece& piece : plan.pieces) {
    const auto order = std::find_if(job.pieces.begin(), job.pieces.end(),
                                    [&](const job::PieceOrder& one) { return one.piece.id == piece.id; });
    if (order == job.pieces.end()) continue;
    auto actual = actual_of(job.shop, *order, piece);
    if (!actual) return tl::unexpected(actual.error());
    list.push_back(std::move(*actual));
  }
  return list;
}

}  // namespace tackcloth::plan
