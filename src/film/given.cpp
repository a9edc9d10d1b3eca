// One coat that has been looked at: its band, cut off where the bench says it cannot lie.
#include <algorithm>
#include <cmath>

#include "film/calibrate.h"
#include "units/normal.h"

namespace tackcloth::film {
namespace {

constexpr double kLookAgain_h = 0.5;  // sooner than this nobody looks again (common practice, no source)
constexpr double kFar = 12;           // standard deviations; beyond it nothing is told apart

// Upper tail of the standard normal.
double above(double z) { return 0.5 * std::erfc(z / std::sqrt(2.0)); }

// The z with a share `q` of the normal between `low` and `high` under it.
double quantile(double low, double high, double q) {
  const double tail_low = above(low), tail_high = above(high);
  const double tail = tail_low + q * (tail_high - tail_low);
  double a = std::max(low, -kFar), b = std::min(high, std::max(low, 0.0) + kFar);
  for (int i = 0; i < 80; ++i) {
    const double middle = 0.5 * (a + b);
    (above(middle) > tail ? a : b) = middle;
  }
  return 0.5 * (a + b);
}

// Log-normal by halves: the slow side spreads by P90 over P50, the quick side by P50 over P10.
struct Halves {
  double middle = 0, quick = 0, slow = 0;  // of log hours
  bool known = false;
  explicit Halves(const Band& band) {
    known = band.p10 > 0 && band.p90 < kNever;
    if (!known) return;
    middle = std::log(band.p50);
    quick = std::max((middle - std::log(band.p10)) / kNormal90, 1e-6);
    slow = std::max((std::log(band.p90) - middle) / kNormal90, 1e-6);
  }
  double z(double hours) const {
    const double away = std::log(hours) - middle;
    return std::clamp(away / (away < 0 ? quick : slow), -kFar, kFar);
  }
  double hours(double z) const { return std::exp(middle + z * (z < 0 ? quick : slow)); }
};

}  // namespace

Readiness given(const Readiness& expected, const std::vector<Sighting>& sightings) {
  const Halves touch(expected[Need::touch]), scuff(expected[Need::scuff]);
  double low = -kFar, high = kFar;
  std::array<double, kNeeds> not_before{};
  const auto hold = [&](Need need, double hours) {
    double& held = not_before[static_cast<std::size_t>(need)];
    held = std::max(held, hours + kLookAgain_h);
  };
  for (const Sighting& s : sightings) {
    if (!(s.hours > 0) || !std::isfinite(s.hours)) continue;
    const bool wet = s.seen == Seen::tacky, unripe = wet || s.seen == Seen::soft;
    const Halves& still = wet ? touch : scuff;
    const Halves& past = s.seen == Seen::sands_to_powder ? scuff : touch;
    if (unripe && still.known) low = std::max(low, still.z(s.hours));
    if (!wet && past.known) high = std::min(high, past.z(s.hours));
    if (wet) hold(Need::touch, s.hours);
    if (unripe)
      for (int n = 0; n < kNeeds; ++n)
        if (static_cast<Need>(n) != Need::touch) hold(static_cast<Need>(n), s.hours);
  }
  if (high <= low) high = kFar;
  Readiness out = expected;
  if (low > -kFar || high < kFar) {
    const double p10 = quantile(low, high, 0.1), p50 = quantile(low, high, 0.5), p90 = quantile(low, high, 0.9);
    for (Band& band : out.by_need) {
      const Halves halves(band);
      if (halves.known) band = {halves.hours(p10), halves.hours(p50), halves.hours(p90)};
    }
  }
  for (std::size_t n = 0; n < kNeeds; ++n) {
    Band& band = out.by_need[n];
    band = {std::max(band.p10, not_before[n]), std::max(band.p50, not_before[n]), std::max(band.p90, not_before[n])};
  }
  return out;
}

}  // namespace tackcloth::film
