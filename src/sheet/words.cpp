#include "sheet/words.h"

#include <cmath>
#include <cstdio>

namespace tackcloth::sheet {
namespace {

constexpr const char* kDays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
constexpr const char* kMonths[] = {"January", "February", "March",     "April",   "May",      "June",
                                   "July",    "August",   "September", "October", "November", "December"};

// Length of the well-formed sequence at the front (Unicode standard, table 3-7), 0 when there is none.
std::size_t sequence(std::string_view s) {
  const auto at = [&](std::size_t i) { return static_cast<unsigned char>(s[i]); };
  const unsigned char lead = at(0);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                             : (lead & 0xF0) == 0xE0        ? 3
                             : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                            : 0;
  if (length == 0 || s.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((at(i) & 0xC0) != 0x80) return 0;
  const unsigned char second = at(1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool outside = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
  return overlong || outside ? 0 : length;
}

std::string day(Instant instant, std::size_t month_letters) {
  const std::chrono::local_days days = day_of(instant);
  const std::chrono::year_month_day date(days);
  const std::string month = kMonths[static_cast<unsigned>(date.month()) - 1];
  return std::string(kDays[std::chrono::weekday(days).c_encoding()]) + " " +
         std::to_string(static_cast<unsigned>(date.day())) + " " + month.substr(0, month_letters);
}

}  // namespace

std::string clean(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t length = sequence(text);
    const auto front = static_cast<unsigned char>(text.front());
    if (length == 0) {
      out += "\xEF\xBF\xBD";
    } else if (length == 1 && (front < 0x20 || front == 0x7F)) {
      if (front == '\n' || front == '\t') out += front == '\n' ? '\n' : ' ';
    } else {
      out += text.substr(0, length);
    }
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return out;
}

std::chrono::local_days day_of(Instant instant) { return std::chrono::floor<std::chrono::days>(instant); }

std::string day_words(Instant instant, const Tongue& tongue) {
  return tongue.english() ? day(instant, std::string::npos) : tongue.dated(instant, "EEEdMMMM");
}

std::string short_day(Instant instant, const Tongue& tongue) {
  return tongue.english() ? day(instant, 3) : tongue.dated(instant, "EEEdMMM");
}

std::string weekday(Instant instant, const Tongue& tongue) {
  return tongue.english() ? day(instant, 3).substr(0, 3) : tongue.dated(instant, "EEE");
}

std::string day_month(Instant instant, const Tongue& tongue) {
  return tongue.english() ? day(instant, 3).substr(4) : tongue.dated(instant, "dMMM");
}

std::string clock(Instant instant) {
  const auto minutes = (instant - day_of(instant)).count();
  char text[16];
  std::snprintf(text, sizeof text, "%02d:%02d", static_cast<int>(minutes / 60), static_cast<int>(minutes % 60));
  return text;
}

std::string clock_on(Instant instant, Instant page_day, const Tongue& tongue) {
  return day_of(instant) == day_of(page_day) ? clock(instant) : short_day(instant, tongue) + " " + clock(instant);
}

std::string zone_words(const std::string& zones, const Tongue& tongue) {
  std::string out, before;
  for (std::size_t from = 0; from < zones.size();) {
    const std::size_t end = std::min(zones.find_first_of("/,", from), zones.size());
    const std::string name = zones.substr(from, end - from);
    const bool zone = from > 0 && zones[from - 1] == '/';
    if (!zone || name != before) out += (out.empty() ? "" : zone ? " " : ", ") + tongue.parts(name);
    before = name;
    from = end + 1;
    while (from < zones.size() && zones[from] == ' ') ++from;
  }
  return out;
}

std::string number(double value, int most_decimals) {
  if (!std::isfinite(value)) return "?";
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", most_decimals, value);
  std::string out = text;
  if (out.find('.') != std::string::npos) {
    while (out.back() == '0') out.pop_back();
    if (out.back() == '.') out.pop_back();
  }
  return out == "-0" ? "0" : out;
}

}  // namespace tackcloth::sheet
