// Turns readings with holes, one an hour or sparser, into one state an hour.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "climate/series.h"
#include "units/result.h"

namespace tackcloth::climate {

// A row of a weather file; what the file marks as missing is empty. `line` for messages.
struct Row {
  Instant when;
  int line = 0;
  std::optional<double> temp_c, rh, pressure_pa, wind_m_s;
};

struct Filled {
  Instant first;
  std::vector<Air> states;
  int filled = 0;  // hours without a temperature or a humidity of their own
};

inline constexpr int kLongestGapH = 6;

// Rows must rise in time on whole hours. Temperature and vapour pressure are filled linearly over holes of at most
// kLongestGapH hours; missing pressure comes from the altitude, missing wind is 0.1 m/s (still air: safe).
Result<Filled> fill_hours(const std::string& file, const std::vector<Row>& rows, double altitude_m);

}  // namespace tackcloth::climate
