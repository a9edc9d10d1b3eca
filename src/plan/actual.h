// What a piece was planned to take, and what it took: hours by kind of task, materials, what an hour then paid.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "materials/offer.h"
#include "plan/plan.h"

namespace tackcloth::plan {

// Minutes are of work: with two people at a step they count twice.
struct ActualHours {
  std::string kind;                            // of task; empty for the whole piece
  int steps = 0, done = 0, timed = 0;          // of this kind, logged as done, and of those with a time
  double planned_min = 0;                      // all steps
  double timed_planned_min = 0, took_min = 0;  // of the timed ones: what the plan had, what they took
  double untimed_planned_min = 0;              // done, nobody told how long: what the plan had for them
};

struct PieceActual {
  std::string id, name, owner;
  std::vector<ActualHours> kinds;  // by name
  ActualHours all;
  std::optional<Instant> handed_over;
  Money materials_planned;
  std::optional<Money> materials_bought;  // nothing: not known
  bool agreed = false;                    // else the price is that of the plan's own offer
  materials::Offer planned;
  // With the minutes told, and what the plan has for the rest; materials as bought where that is known.
  materials::Offer as_it_went;
  // Every step of the piece is done and its time told: then as_it_went rests on no planned hour.
  bool hours_known = false;
};

// Pieces of the plan that are in the job, in the plan's order. A Problem when an agreed price is beyond reason.
Result<std::vector<PieceActual>> actuals(const job::Job& job, const Plan& plan);

}  // namespace tackcloth::plan
