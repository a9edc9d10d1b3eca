// Forecast CSV, and laying weather over asked dates.
#include <chrono>

#include "climate/csv_table.h"
#include "climate/gaps.h"
#include "climate/weather.h"

namespace tackcloth::climate {

Result<Weather> read_forecast_csv(const std::string& path) {
  constexpr const char* kMend = "mend the field, or leave it empty to have it filled from its neighbours";
  const auto table = read_csv_table(path, true,
                                    {{"temp_c", true, -70, 70, kMend},
                                     {"rh_percent", true, 0, 100, kMend},
                                     {"pressure_pa", false, 31000, 120000, kMend},
                                     {"wind_m_s", false, 0, 60, kMend}});
  if (!table) return tl::unexpected(table.error());
  std::vector<Row> rows;
  for (const CsvRow& read : table->rows) {
    Row row;
    row.line = read.line;
    row.when = *read.when;
    row.temp_c = read.values[0];
    if (read.values[1]) row.rh = *read.values[1] / 100;
    row.pressure_pa = read.values[2];
    row.wind_m_s = read.values[3];
    rows.push_back(row);
  }
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
  if (outdoors.is_constant() && weather.days.empty()) return outdoors;
  const auto when_of = [&](int i) { return from + Minutes(60 * static_cast<long long>(i)); };
  const auto by_day = [&](Instant when) { return outdoors.is_constant() || is_told(weather.days, when); };
  if (!weather.typical_year && !outdoors.is_constant()) {
    const Instant end = outdoors.first() + Minutes(60 * static_cast<long long>(outdoors.states().size() - 1));
    for (int i = 0; i <= last; ++i) {
      const Instant when = when_of(i);
      if ((when >= outdoors.first() && when <= end) || by_day(when)) continue;
      return tl::unexpected(Problem{"", 0, 0,
                                    "the weather runs from " + to_iso(outdoors.first()) + " to " + to_iso(end) +
                                        ", but it is asked for from " + to_iso(from) + " to " + to_iso(when_of(last)),
                                    "weather for the whole time",
                                    "get a longer forecast, or give a whole year as EPW"});
    }
  }
  std::vector<Air> states;
  states.reserve(static_cast<std::size_t>(last) + 1);
  for (int i = 0; i <= last; ++i) {
    const Instant when = when_of(i);
    states.push_back(by_day(when)           ? air_of_days(weather.days, when)
                     : weather.typical_year ? of_typical_year(outdoors, when)
                                            : outdoors.at(when));
  }
  return ClimateSeries::hourly(from, std::move(states));
}

}  // namespace tackcloth::climate
