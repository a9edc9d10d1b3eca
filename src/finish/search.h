// The search: shortest path over surface states, by hours or by money. docs/finish.md.
#pragma once

#include <map>
#include <memory>
#include <mutex>

#include "finish/work.h"

namespace tackcloth::finish {

// Hours at 20 °C and 50 % RH, median, from the film engine; asked once a product, ground and need.
class NominalHours {
 public:
  NominalHours(const catalog::Catalog& catalog, const film::Model& model) : catalog_(catalog), model_(model) {}
  double film(int product, film::Ground ground, double wet_um, film::Need need) const;
  double drying_back(double water_g_m2) const;

 private:
  const catalog::Catalog& catalog_;
  const film::Model& model_;
  mutable std::mutex mutex_;
  mutable std::map<std::pair<int, int>, film::Readiness> known_;
};

// A film the order has to have, in this sequence. `candidates` are catalogue indices; `swaps` may stand in, at a price.
struct Layer {
  std::vector<int> candidates, swaps;
  int coats = 0;  // 0: as many as the product usually takes
  bool optional = false;
  StepKind kind = StepKind::wait;  // wait: by the product
};

struct Goal {
  piece::Treatment treatment = piece::Treatment::clear;
  std::vector<Layer> layers;
  bool colour = false;  // a test board first
  bool plain = false;   // nothing put in between: the order as it was asked for
};

struct Path {
  std::vector<Move> moves;
  double hours = 0, money = 0;  // hours round the clock; product cost per m², minor units
  bool broke = false;           // a must-not was broken (only when allowed)
};

// What a mistake costs the search, in hours: a caution is taken only when nothing else is left.
inline constexpr double kCautionHours = 500;
inline constexpr double kSwapHours = 3000;
inline constexpr double kMustNotHours = 1e6;
// Bench hour in minor units, for weighing labour against material (demo; the quote uses the shop's own rate).
inline constexpr double kLabourMinorPerHour = 4500;

StepKind step_for(const catalog::Product& product, piece::Treatment treatment);
bool rinses_stripper(const catalog::Product& product);
bool cleans_metal(const catalog::Product& product);
bool primes_metal(const catalog::Product& product);

// Moves worth trying from a state. Which of them are allowed is for the rules to say.
std::vector<Move> moves_from(const Scene& scene, const Goal& goal, const State& state);
// Layer count after a move: search only.
void count_layers(const Scene& scene, const Goal& goal, const State& before, const Move& move, State& after);
bool reached(const Scene& scene, const Goal& goal, const State& state);

struct Search {
  const Scene& scene;
  const Goal& goal;
  const std::vector<Compiled>& rules;
  const NominalHours& hours;
  Prefer prefer = Prefer::fastest;
  bool may_break = false;  // must-nots are dear instead of closed
};
// Empty moves when no order reaches the goal.
std::optional<Path> find_path(const Search& search);

}  // namespace tackcloth::finish
