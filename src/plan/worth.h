// Worth taking on? A piece that is not in the shop yet, from five measures and three answers: a small job is made of it
// and planned by the same engines as any other.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "materials/offer.h"
#include "plan/plan.h"

namespace tackcloth::plan {

struct Candidate {
  double width_mm = 0, height_mm = 0, depth_mm = 0;
  int fronts = 0;        // drawers and doors, that close the front between them; 0: open, the inside shows
  double damage_m2 = 0;  // to be repaired before it is finished
  std::optional<int> year;
  piece::Existing existing = piece::Existing::unknown;
  piece::Treatment wanted = piece::Treatment::clear;
  bool veneered = true;  // veneer of unknown thickness is taken as thin; false: known to be solid wood
};

// One time in ten less than p10, one time in ten more than p90.
struct Span3 {
  double p10 = 0, p50 = 0, p90 = 0;
};
struct MoneySpan {
  Money p10, p50, p90;
};

struct Worth {
  Span3 hours;  // at the bench
  Span3 days;   // from the start to the finish, in the shop's free hours as if it stood alone
  MoneySpan materials, break_even, from_cost;
  std::optional<MoneySpan> per_hour;  // at the market price; p10 is what it pays when the work takes p90
  std::vector<catalog::Finding> hazards;
  std::vector<std::string> readings;  // what the piece may be: one plan each
};

// What an hour pays at the market price against what it costs the shop, by the whole band.
enum class Verdict { yes, no, maybe };
std::optional<Verdict> verdict(const Worth& worth, Money rate);  // nothing: no market price was said
std::string to_text(Verdict verdict);                            // "yes"

// How far hands-on time strays from the pace table on a piece nobody has looked into, as sigma of a log-normal
// (common practice, no source): nine times in ten it is under one and a half times the figure.
inline constexpr double kLooksLikeSigma = 0.32;

// An existing finish that is not known is planned as each of the usual ones, and a known one as it is and as stubborn;
// the bands run over all of them. Problems: sizes, counts or a damaged area that cannot be.
Results<Worth> worth_of(const Candidate& candidate, const job::Shop& shop, const World& world, const Options& options,
                        std::optional<Money> market);

}  // namespace tackcloth::plan
