// Dates, times and clean text as they appear on paper.
#pragma once

#include <string>
#include <string_view>

#include "units/time.h"

namespace tackcloth::sheet {

// Valid UTF-8 without control characters (a line feed stays): what is broken becomes U+FFFD.
std::string clean(std::string_view text);

std::string day_words(Instant instant);                   // "Wed 4 March"
std::string short_day(Instant instant);                   // "Wed 4 Mar"
std::string clock(Instant instant);                       // "08:30"
std::string clock_on(Instant instant, Instant page_day);  // "08:30", or "Thu 5 Mar 08:30" on another day
std::chrono::local_days day_of(Instant instant);
std::string number(double value, int most_decimals);  // "0.75", "3": no trailing zeros

}  // namespace tackcloth::sheet
