// The shop's own pace at the bench, learned from what steps really took: how many times the hours of the table, by kind
// of task. Knows nothing of steps or logs. docs/materials.md tells the model.
#pragma once

#include <string>
#include <vector>

#include "units/time.h"

namespace tackcloth::plan {

// One step whose time was told.
struct PaceLine {
  std::string kind;  // "sanding", "coat by brush"
  std::string step;  // its id, for words
  double table_min = 0, took_min = 0;
  Instant when;  // done
};

// Spreads of log factors. `shop`: how far shops lie from the table; `kind`: how far the kinds of one shop lie apart;
// `step`: how far one step lies from its kind.
struct PaceSpread {
  double shop = 0, kind = 0, step = 0;
};
// Together `shop` and `kind` are the 0.32 that `worth` takes for hands-on time. Common practice, no source.
inline constexpr PaceSpread kPaceSpread{0.20, 0.25, 0.35};
// A kind is planned at the shop's own pace from so many steps on. Common practice, no source.
inline constexpr int kPaceEnough = 3;

struct LearnedPace {
  std::string kind;
  int entries = 0;
  double factor = 1, low = 1, high = 1;  // times the table: middle, and between these eight times in ten
  bool used = false;                     // in hours and price
};
struct OwnPace {
  bool wanted = true;              // the shop may switch it off
  std::vector<LearnedPace> kinds;  // by name
  std::vector<PaceLine> lines;     // what was learned from, of this log alone
  std::vector<std::string> odd;    // steps far from the rest, in words; they count little
};

// A mean and its spread, in logs.
struct Posterior {
  double mean = 0, sigma = 0;
};
struct PaceFit {
  Posterior shop;
  std::vector<Posterior> kinds;             // shop and kind together; one a group
  std::vector<std::vector<double>> weight;  // of each value: 1 as any, near 0 far off
};
// The normal hierarchy with known spreads: value = shop + kind + step, each around 0. `sigma` of a value is its own
// (step) spread. `robust`: the step's part has Student's t with 4 degrees of freedom in place of the normal.
PaceFit fit_pace(const std::vector<std::vector<double>>& values, const std::vector<std::vector<double>>& sigma,
                 double shop_sigma, double kind_sigma, bool robust);

// Lines with a time of nothing are left out. `kinds`, `odd` of the result; in the same order whatever the order of
// `lines`.
OwnPace learn_pace(const std::vector<PaceLine>& lines);

// 1 where nothing is used for that kind, or the shop's own pace is not wanted.
double pace_factor(const OwnPace& pace, const std::string& kind);
// "1.3 times the table, from 7 steps (1.1 to 1.5)".
std::string pace_words(const LearnedPace& pace);

}  // namespace tackcloth::plan
