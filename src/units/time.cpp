#include "units/time.h"

#include <cctype>
#include <cmath>
#include <cstdio>

namespace tackcloth {

namespace {

Problem not_a_time(std::string_view text) {
  return {"",
          0,
          0,
          "'" + std::string(text) + "' is not a date or a time",
          "2026-03-04 or 2026-03-04T17:30",
          "write year, month and day with dashes, and the time with a T before it"};
}

// Two or four digits at `at`; -1 when they are not digits.
int digits(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count > text.size()) return -1;
  int value = 0;
  for (std::size_t i = at; i < at + count; ++i) {
    if (!std::isdigit(static_cast<unsigned char>(text[i]))) return -1;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

}  // namespace

Result<Instant> parse_instant(std::string_view text) {
  const int year = digits(text, 0, 4), month = digits(text, 5, 2), day = digits(text, 8, 2);
  if (year < 0 || month < 0 || day < 0 || text[4] != '-' || text[7] != '-') return tl::unexpected(not_a_time(text));
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                         std::chrono::day(static_cast<unsigned>(day))};
  if (!date.ok()) return tl::unexpected(not_a_time(text));
  const Instant midnight{std::chrono::local_days(date)};
  if (text.size() == 10) return midnight;
  const int hour = digits(text, 11, 2), minute = digits(text, 14, 2);
  if ((text[10] != 'T' && text[10] != ' ') || hour < 0 || hour > 23 || minute < 0 || minute > 59 || text[13] != ':')
    return tl::unexpected(not_a_time(text));
  if (text.size() > 16) {
    const int second = digits(text, 17, 2);
    if (text.size() != 19 || text[16] != ':' || second < 0 || second > 60) return tl::unexpected(not_a_time(text));
  }
  return midnight + std::chrono::hours(hour) + Minutes(minute);
}

std::string to_iso(Instant instant) {
  const auto day = std::chrono::floor<std::chrono::days>(instant);
  const std::chrono::year_month_day date{day};
  const auto minutes = (instant - day).count();
  char text[48];
  std::snprintf(text, sizeof text, "%04d-%02u-%02uT%02d:%02d:00", static_cast<int>(date.year()),
                static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), static_cast<int>(minutes / 60),
                static_cast<int>(minutes % 60));
  return text;
}

Instant after(Instant start, double hours) {
  // A hair of rounding noise must not cost a minute.
  return start + Minutes(static_cast<long long>(std::ceil(hours * 60 - 1e-6)));
}

double hours_between(Instant a, Instant b) { return Hours(b - a).count(); }

}  // namespace tackcloth
