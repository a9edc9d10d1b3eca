#include "climate/gaps.h"

#include <cmath>

namespace tackcloth::climate {

namespace {

tl::unexpected<Problem> at_line(const std::string& file, int line, std::string what, std::string expected,
                                std::string remedy) {
  return tl::unexpected(Problem{file, line, 0, std::move(what), std::move(expected), std::move(remedy)});
}

// Fills empty values by straight lines between their neighbours in time, holding the ends.
void join(const std::vector<double>& hours, std::vector<std::optional<double>>& values, double otherwise) {
  std::size_t last = values.size();  // of the latest known value
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!values[i]) continue;
    const std::size_t from = last == values.size() ? 0 : last + 1;
    for (std::size_t j = from; j < i; ++j)
      values[j] = last == values.size()
                      ? *values[i]
                      : std::lerp(*values[last], *values[i], (hours[j] - hours[last]) / (hours[i] - hours[last]));
    last = i;
  }
  for (std::size_t j = last == values.size() ? 0 : last + 1; j < values.size(); ++j)
    values[j] = last == values.size() ? otherwise : *values[last];
}

}  // namespace

Result<Filled> fill_hours(const std::string& file, const std::vector<Row>& rows, double altitude_m) {
  const double usual_pa = pressure_at_altitude_pa(altitude_m);
  // The rows that can stand by themselves.
  std::vector<const Row*> whole;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (rows[i].when.time_since_epoch().count() % 60 != 0)
      return at_line(file, rows[i].line, to_iso(rows[i].when) + " is not on the hour", "one row an hour, on the hour",
                     "round the times to whole hours");
    if (i > 0 && rows[i].when <= rows[i - 1].when)
      return at_line(file, rows[i].line,
                     to_iso(rows[i].when) + " does not come after the row before, " + to_iso(rows[i - 1].when),
                     "times that rise", "sort the rows and take out doubles");
    if (rows[i].temp_c && rows[i].rh) whole.push_back(&rows[i]);
  }
  if (whole.empty())
    return at_line(file, rows.empty() ? 0 : rows.front().line, "there is no hour with both temperature and humidity",
                   "at least one whole row", "ask the weather service for both");
  // Hours missing at the ends are as bad as in the middle: there is nothing to draw a line to.
  if (whole.front() != &rows.front() || whole.back() != &rows.back()) {
    const Row& bad = whole.front() != &rows.front() ? rows.front() : rows.back();
    return at_line(file, bad.line, "the file begins or ends with a row without temperature or humidity",
                   "whole rows at both ends", "take the row out");
  }

  std::vector<double> hours;
  std::vector<std::optional<double>> pressure, wind;
  for (const Row& row : rows) {
    hours.push_back(hours_between(rows.front().when, row.when));
    pressure.push_back(row.pressure_pa);
    wind.push_back(row.wind_m_s);
  }
  join(hours, pressure, usual_pa);
  join(hours, wind, 0.1);

  Filled out;
  out.first = rows.front().when;
  std::size_t index = 0;  // of the row at or before the hour, for pressure and wind
  for (std::size_t i = 0; i < whole.size(); ++i) {
    const Row& now = *whole[i];
    if (i == 0) {
      out.states.push_back({*now.temp_c, *now.rh, *pressure[0], *wind[0]});
      continue;
    }
    const Row& before = *whole[i - 1];
    const int step = static_cast<int>(hours_between(before.when, now.when));
    if (step - 1 > kLongestGapH)
      return at_line(
          file, now.line,
          "no temperature or humidity for " + std::to_string(step - 1) + " hours after " + to_iso(before.when),
          "holes of at most " + std::to_string(kLongestGapH) + " hours", "add the missing hours, or use another file");
    const double pv_before = *before.rh * saturation_pressure_pa(*before.temp_c);
    const double pv_now = *now.rh * saturation_pressure_pa(*now.temp_c);
    for (int h = 1; h <= step; ++h) {
      const double at = hours_between(out.first, before.when) + h, part = double(h) / step;
      while (index + 1 < rows.size() && hours[index + 1] <= at) ++index;
      const std::size_t next = std::min(index + 1, rows.size() - 1);
      const double within = next == index ? 0 : (at - hours[index]) / (hours[next] - hours[index]);
      Air air;
      air.temp_c = std::lerp(*before.temp_c, *now.temp_c, part);
      air.rh =
          h == step ? *now.rh : std::min(1.0, rh_from_vapour_pressure(air.temp_c, std::lerp(pv_before, pv_now, part)));
      air.pressure_pa = std::lerp(*pressure[index], *pressure[next], within);
      air.speed_m_s = std::lerp(*wind[index], *wind[next], within);
      out.states.push_back(air);
    }
    out.filled += step - 1;
  }
  return out;
}

}  // namespace tackcloth::climate
