// From a laid coat and the air to the hours at which the clock passes each threshold.
#pragma once

#include "film/evaporate.h"

namespace tackcloth::film {

inline constexpr double kHorizon_h = 120 * 24.0;  // longer is never

// The air by hours after the coat; linear between hours. Cheaper than ClimateSeries::at, for the inner loop.
class AirTrack {
 public:
  AirTrack(const climate::ClimateSeries& series, Instant start);
  climate::Air at(double hours) const;
  void move_h(double hours) { offset_h_ += hours; }  // the same coat, laid later
  bool constant() const { return states_->size() == 1; }
  double offset_h() const { return offset_h_; }
  const std::vector<climate::Air>& states() const { return *states_; }

 private:
  const std::vector<climate::Air>* states_;
  double offset_h_ = 0;  // hours from the first state to the start
};

// The clock of the dry film: rates at the hours of the series and their running integral, each worked out once and
// shared by the quantiles. Linear between hours.
class DryRates {
 public:
  DryRates(const Laid& laid, const AirTrack& track);
  double of(const climate::Air& air) const;
  double constant_rate();                     // of the last state
  double integral(double hours);              // from the hour before the start, label hours
  double when(double integral, double from);  // hours; infinity beyond the horizon. `from` is a lower bound.

  // Follows the track to a later start; what was worked out is kept. The track must have been moved by the same.
  void move_h(int hours) { skip_ += static_cast<std::size_t>(hours); }

 private:
  void extend(std::size_t node);
  const Laid& laid_;
  const AirTrack& track_;
  double shift_ = 0;      // hours from the first node to the start, 0..1
  std::size_t skip_ = 0;  // nodes before the start's own
  long base_ = 0;         // first node, as an index into the series; may be negative
  std::vector<double> rate_, sum_;
};

struct Passed {
  std::array<double, kMarks> hours{};  // infinity: not within the horizon
  bool cold_when_closing = false;      // the film closed under its minimum film temperature
  double wet_share = 0;                // of the volatile parts, still there when the search ended
};
// `pace`: how fast this coat lives against the expected one; everything in it runs that much faster.
Passed march(const Laid& laid, const AirTrack& track, double pace, const std::array<double, kMarks>& thresholds,
             DryRates& dry);
// How a coat stands `hours` after it was laid.
struct Stand {
  double progress = 0;        // of the clock, label hours
  double volatile_kg_m2 = 0;  // still in the film; nothing once it is dry
};
Stand stand_at(const Laid& laid, const AirTrack& track, double pace, double hours, DryRates& dry);
// Progress at each of `hours` (ascending or not) in constant air: the anchor.
std::array<double, kMarks> progress_at(const Laid& laid, const climate::Air& air,
                                       const std::array<double, kMarks>& hours);

}  // namespace tackcloth::film
