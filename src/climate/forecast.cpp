// Forecast CSV, and laying weather over asked dates.
#include <array>
#include <chrono>

#include "climate/csv_line.h"
#include "climate/gaps.h"
#include "climate/weather.h"

namespace tackcloth::climate {

namespace {

enum Column { kTime, kTemp, kHumidity, kPressure, kWind, kColumns };
struct Spec {
  const char* name;
  bool needed;
  double low, high;
};
constexpr std::array<Spec, kColumns> kSpecs = {{{"time", true, 0, 0},
                                                {"temp_c", true, -70, 70},
                                                {"rh_percent", true, 0, 100},
                                                {"pressure_pa", false, 31000, 120000},
                                                {"wind_m_s", false, 0, 60}}};

int column_of(std::string_view line, std::string_view field) {
  return static_cast<int>(field.data() - line.data()) + 1;
}

std::string plain(double value) {
  std::string text = std::to_string(value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace

Result<Weather> read_forecast_csv(const std::string& path) {
  const auto text = read_lines(path);
  if (!text) return tl::unexpected(text.error());
  const auto& lines = text->lines;
  std::array<int, kColumns> place;
  place.fill(-1);
  const auto header = split(lines.empty() ? std::string_view{} : std::string_view(lines[0]));
  for (std::size_t i = 0; i < header.size(); ++i) {
    bool known = false;
    for (int c = 0; c < kColumns; ++c)
      if (header[i] == kSpecs[static_cast<std::size_t>(c)].name) {
        place[static_cast<std::size_t>(c)] = static_cast<int>(i);
        known = true;
      }
    if (!known)
      return tl::unexpected(Problem{path, 1, header[i].empty() ? 1 : column_of(lines[0], header[i]),
                                    "the column '" + std::string(header[i]) + "' is not known",
                                    "time, temp_c, rh_percent, and if wanted pressure_pa, wind_m_s",
                                    "begin the file with a header row of these names"});
  }
  for (int c = 0; c < kColumns; ++c)
    if (kSpecs[static_cast<std::size_t>(c)].needed && place[static_cast<std::size_t>(c)] < 0)
      return tl::unexpected(
          Problem{path, 1, 0, "the column '" + std::string(kSpecs[static_cast<std::size_t>(c)].name) + "' is missing",
                  "time, temp_c and rh_percent", "add it to the header row and to every row"});

  std::vector<Row> rows;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    if (lines[i].empty()) continue;
    const int line = static_cast<int>(i) + 1;
    const auto fields = split(lines[i]);
    if (fields.size() != header.size())
      return tl::unexpected(Problem{path, line, 0, "the row has " + std::to_string(fields.size()) + " fields",
                                    std::to_string(header.size()) + ", as in the header", "mend the row"});
    Row row;
    row.line = line;
    const auto when = parse_instant(fields[static_cast<std::size_t>(place[kTime])]);
    if (!when) {
      Problem problem = when.error();
      problem.file = path;
      problem.line = line;
      problem.column = column_of(lines[i], fields[static_cast<std::size_t>(place[kTime])]);
      return tl::unexpected(problem);
    }
    row.when = *when;
    std::array<std::optional<double>, kColumns> values;
    for (std::size_t c = kTemp; c < kColumns; ++c) {
      if (place[c] < 0) continue;
      const std::string_view field = fields[static_cast<std::size_t>(place[c])];
      if (field.empty()) continue;
      values[c] = to_number(field);
      if (!values[c] || *values[c] < kSpecs[c].low || *values[c] > kSpecs[c].high)
        return tl::unexpected(Problem{path, line, column_of(lines[i], field),
                                      "'" + std::string(field) + "' is not a usable " + kSpecs[c].name,
                                      "a number between " + plain(kSpecs[c].low) + " and " + plain(kSpecs[c].high),
                                      "mend the field, or leave it empty to have it filled from its neighbours"});
    }
    row.temp_c = values[kTemp];
    if (values[kHumidity]) row.rh = *values[kHumidity] / 100;
    row.pressure_pa = values[kPressure];
    row.wind_m_s = values[kWind];
    rows.push_back(row);
  }
  if (rows.empty())
    return tl::unexpected(
        Problem{path, 0, 0, "there are no rows after the header", "one row an hour", "download the forecast again"});
  auto filled = fill_hours(path, rows, 0);
  if (!filled) return tl::unexpected(filled.error());
  Weather weather;
  weather.place = "forecast";
  weather.missing_hours_filled = filled->filled;
  weather.outdoors = ClimateSeries::hourly(filled->first, std::move(filled->states));
  return weather;
}

namespace {

// State at a whole hour of any year. The record's first row is 01:00 on its first day.
const Air& of_typical_year(const ClimateSeries& year, Instant when) {
  using namespace std::chrono;
  const auto day = floor<days>(when);
  const year_month_day date{day};
  const auto& states = year.states();
  const bool has_leap_day = states.size() == 8784;
  const year_month_day first_date{floor<days>(year.first())};
  // Reckoned in a year of the record's own length; 29 February repeats the 28th where the record has none.
  const std::chrono::year reckoned(has_leap_day ? 2000 : 2001);
  auto wanted = reckoned / date.month() / date.day();
  if (!wanted.ok()) wanted = reckoned / February / std::chrono::day(28);
  const auto origin = reckoned / first_date.month() / first_date.day();
  const long long hour_in_day = duration_cast<hours>(when - day).count();
  const long long first_hour = duration_cast<hours>(year.first() - floor<days>(year.first())).count();
  const long long offset = (local_days(wanted) - local_days(origin)).count() * 24 + hour_in_day - first_hour;
  const auto size = static_cast<long long>(states.size());
  return states[static_cast<std::size_t>(((offset % size) + size) % size)];
}

}  // namespace

Result<ClimateSeries> outdoors_between(const Weather& weather, Instant start, int hours) {
  const Instant from = std::chrono::floor<std::chrono::hours>(start);
  const int last = std::max(0, hours) + (from < start ? 1 : 0);
  const ClimateSeries& outdoors = weather.outdoors;
  if (outdoors.is_constant()) return outdoors;
  if (!weather.typical_year) {
    const Instant end = outdoors.first() + Minutes(60 * static_cast<long long>(outdoors.states().size() - 1));
    if (from < outdoors.first() || from + Minutes(60 * last) > end)
      return tl::unexpected(
          Problem{"", 0, 0,
                  "the weather runs from " + to_iso(outdoors.first()) + " to " + to_iso(end) +
                      ", but it is asked for from " + to_iso(from) + " to " + to_iso(from + Minutes(60 * last)),
                  "weather for the whole time", "get a longer forecast, or give a whole year as EPW"});
  }
  std::vector<Air> states;
  states.reserve(static_cast<std::size_t>(last) + 1);
  for (int i = 0; i <= last; ++i) {
    const Instant when = from + Minutes(60 * static_cast<long long>(i));
    states.push_back(weather.typical_year ? of_typical_year(outdoors, when) : outdoors.at(when));
  }
  return ClimateSeries::hourly(from, std::move(states));
}

}  // namespace tackcloth::climate
