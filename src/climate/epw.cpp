// EPW: EnergyPlus, Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary". Fields counted there from
// N1/A1; here the comma-separated index from 0 is used.
#include <algorithm>
#include <chrono>
#include <set>

#include "climate/csv_line.h"
#include "climate/gaps.h"
#include "climate/weather.h"

namespace tackcloth::climate {

namespace {

constexpr std::size_t kHeaderLines = 8;
enum Field : std::size_t { kYear = 0, kMonth, kDay, kHour, kDryBulb = 6, kDewPoint, kHumidity, kPressure, kWind = 21 };
constexpr std::size_t kFewestFields = kWind + 1;

struct Reader {
  const std::string& file;
  int line = 0;

  Problem problem(std::size_t column, std::string what, std::string expected, std::string remedy) const {
    return {file, line, static_cast<int>(column), std::move(what), std::move(expected), std::move(remedy)};
  }
};

// Column (from 1) at which a field starts.
std::size_t column_at(std::string_view line, std::string_view field) {
  return static_cast<std::size_t>(field.data() - line.data()) + 1;
}

struct Quantity {
  Field field;
  const char* name;
  double low, high;   // the data dictionary's range
  double missing_at;  // this value or more: missing
};
constexpr Quantity kQuantities[] = {{kDryBulb, "dry bulb temperature (°C)", -70, 70, 99.9},
                                    {kDewPoint, "dew point temperature (°C)", -70, 70, 99.9},
                                    {kHumidity, "relative humidity (%)", 0, 110, 999},
                                    {kPressure, "station pressure (Pa)", 31000, 120000, 999999},
                                    {kWind, "wind speed (m/s)", 0, 40, 999}};

Result<std::optional<double>> read(const Reader& reader, std::string_view line,
                                   const std::vector<std::string_view>& fields, const Quantity& quantity) {
  const std::string_view text = fields[quantity.field];
  if (text.empty()) return std::optional<double>{};
  const auto value = to_number(text);
  const std::string range = "a number between " + std::to_string(static_cast<long>(quantity.low)) + " and " +
                            std::to_string(static_cast<long>(quantity.high)) + ", or the mark for a missing value";
  if (!value)
    return tl::unexpected(reader.problem(column_at(line, text), "'" + std::string(text) + "' is not a " + quantity.name,
                                         range, "mend the field or leave it empty"));
  if (*value >= quantity.missing_at) return std::optional<double>{};
  if (*value < quantity.low || *value > quantity.high)
    return tl::unexpected(reader.problem(column_at(line, text),
                                         "the " + std::string(quantity.name) + " is " + std::string(text), range,
                                         "mend the field or leave it empty"));
  return value;
}

struct Stamp {
  int year, month, day, hour;
};

Result<Stamp> read_stamp(const Reader& reader, std::string_view line, const std::vector<std::string_view>& fields) {
  const auto year = to_integer(fields[kYear]), month = to_integer(fields[kMonth]), day = to_integer(fields[kDay]),
             hour = to_integer(fields[kHour]);
  if (!year || !month || !day || !hour || *year < 1 || *year > 9999 || *hour < 1 || *hour > 24 ||
      !(std::chrono::year(*year) / *month / *day).ok())
    return tl::unexpected(reader.problem(column_at(line, fields[kYear]), "this is not a year, month, day and hour",
                                         "for example 2018,1,31,24, with hours from 1 to 24", "mend the row"));
  return Stamp{*year, *month, *day, *hour};
}

// The value of hour h is that of h o'clock, the end of its interval (data dictionary, field Hour).
Instant end_of_hour(int year, const Stamp& stamp) {
  return Instant{std::chrono::local_days(std::chrono::year(year) / stamp.month / stamp.day)} +
         std::chrono::hours(stamp.hour);
}

}  // namespace

Result<Weather> read_epw(const std::string& path) {
  auto text = read_lines(path);
  if (!text) return tl::unexpected(text.error());
  std::vector<std::string>& lines = text->lines;
  Reader reader{path, 1};
  if (lines.empty() || !lines[0].starts_with("LOCATION"))
    return tl::unexpected(reader.problem(1, "the first line does not begin with LOCATION", "an EPW weather file",
                                         "a CSV forecast has its own reader: name the file .csv"));
  const auto place = split(lines[0]);
  if (place.size() < 10)
    return tl::unexpected(reader.problem(1, "the LOCATION line has " + std::to_string(place.size()) + " fields", "10",
                                         "download the file again"));
  Weather weather;
  for (std::size_t i : {1u, 2u, 3u})
    if (!place[i].empty() && place[i] != "-" && place[i] != "unknown")
      weather.place += (weather.place.empty() ? "" : ", ") + std::string(place[i]);
  if (weather.place.empty()) weather.place = "unnamed place";
  const auto latitude = to_number(place[6]), longitude = to_number(place[7]), altitude = to_number(place[9]);
  if (!latitude || !longitude || !altitude || std::abs(*latitude) > 90 || std::abs(*longitude) > 180 ||
      *altitude < -1000 || *altitude > 9999.9)
    return tl::unexpected(
        reader.problem(column_at(lines[0], place[6]), "latitude, longitude or altitude cannot be read",
                       "degrees within 90 and 180, metres between -1000 and 9999.9", "mend the LOCATION line"));
  weather.latitude_deg = *latitude;
  weather.longitude_deg = *longitude;
  weather.altitude_m = *altitude;
  if (lines.size() <= kHeaderLines)
    return tl::unexpected(
        reader.problem(0, "there are no hours after the 8 header lines", "8760 rows", "download the file again"));

  std::vector<Row> rows;
  std::vector<Stamp> stamps;
  std::set<int> years;
  bool leap_day = false;
  for (std::size_t i = kHeaderLines; i < lines.size(); ++i) {
    const std::string_view line = lines[i];
    if (line.empty()) continue;
    reader.line = static_cast<int>(i) + 1;
    const auto fields = split(line);
    if (fields.size() < kFewestFields)
      return tl::unexpected(reader.problem(1, "the row has " + std::to_string(fields.size()) + " fields",
                                           "at least " + std::to_string(kFewestFields), "the row is cut off"));
    const auto stamp = read_stamp(reader, line, fields);
    if (!stamp) return tl::unexpected(stamp.error());
    std::optional<double> values[5];
    for (std::size_t q = 0; q < 5; ++q) {
      const auto value = read(reader, line, fields, kQuantities[q]);
      if (!value) return tl::unexpected(value.error());
      values[q] = *value;
    }
    Row row;
    row.line = reader.line;
    row.temp_c = values[0];
    // Up to 110 % is allowed by the format (meters drift); air holds no more than 100 %.
    if (values[2])
      row.rh = std::min(1.0, *values[2] / 100);
    else if (values[0] && values[1])
      row.rh = std::min(1.0, saturation_pressure_pa(*values[1]) / saturation_pressure_pa(*values[0]));
    row.pressure_pa = values[3];
    row.wind_m_s = values[4];
    rows.push_back(row);
    stamps.push_back(*stamp);
    years.insert(stamp->year);
    leap_day = leap_day || (stamp->month == 2 && stamp->day == 29);
  }
  if (rows.empty())
    return tl::unexpected(
        reader.problem(0, "there are no hours after the 8 header lines", "8760 rows", "download the file again"));
  // Months picked from several years are laid into one; 2000 has a leap day, 2001 has none.
  const bool pieced = years.size() > 1 && rows.size() <= 8784;
  for (std::size_t i = 0; i < rows.size(); ++i)
    rows[i].when = end_of_hour(pieced ? (leap_day ? 2000 : 2001) : stamps[i].year, stamps[i]);
  auto filled = fill_hours(path, rows, weather.altitude_m);
  if (!filled) return tl::unexpected(filled.error());
  // A whole year stands for any year; part of one is only itself.
  weather.typical_year = filled->states.size() == 8760 || filled->states.size() == 8784;
  weather.missing_hours_filled = filled->filled;
  weather.outdoors = ClimateSeries::hourly(filled->first, std::move(filled->states));
  return weather;
}

}  // namespace tackcloth::climate
