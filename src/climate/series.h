// The air around the work over time: one state, or one an hour.
#pragma once

#include <vector>

#include "climate/air.h"
#include "units/time.h"

namespace tackcloth::climate {

class ClimateSeries {
 public:
  // The same air for ever.
  static ClimateSeries constant(const Air& air);
  // `hourly[0]` holds at `first`, `hourly[1]` an hour later, ... Before the first and after the last hour the nearest
  // state is kept. Precondition: not empty.
  static ClimateSeries hourly(Instant first, std::vector<Air> hourly);

  // Linear between hours in temperature, vapour pressure, speed and pressure (rh follows).
  Air at(Instant when) const;
  // The same, `hours` after `start`; cheap enough to be called inside an integrator.
  Air at(Instant start, double hours) const;
  bool is_constant() const { return states_.size() == 1; }
  Instant first() const { return first_; }
  const std::vector<Air>& states() const { return states_; }

 private:
  ClimateSeries(Instant first, std::vector<Air> states);
  Instant first_;
  std::vector<Air> states_;
  std::vector<double> vapour_pa_;
};

}  // namespace tackcloth::climate
