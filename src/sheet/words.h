// Dates, times and clean text as they appear on paper.
#pragma once

#include <string>
#include <string_view>

#include "sheet/sheet.h"
#include "units/time.h"

namespace tackcloth::sheet {

// Valid UTF-8 without control characters (a line feed stays): what is broken becomes U+FFFD.
std::string clean(std::string_view text);

std::string day_words(Instant instant, const Tongue& tongue = {});  // "Wed 4 March", "Mi., 4. März"
std::string short_day(Instant instant, const Tongue& tongue = {});  // "Wed 4 Mar"
std::string weekday(Instant instant, const Tongue& tongue = {});    // "Wed"
std::string day_month(Instant instant, const Tongue& tongue = {});  // "4 Mar"
std::string clock(Instant instant);                                 // "08:30"
// "08:30", or "Thu 5 Mar 08:30" on another day.
std::string clock_on(Instant instant, Instant page_day, const Tongue& tongue = {});
std::chrono::local_days day_of(Instant instant);
std::string number(double value, int most_decimals);  // "0.75", "3": no trailing zeros
// Parts and zones as the job file names them, "case/top, case/apron", for a reader without the file: "case top, case
// apron".
std::string zone_words(const std::string& zones, const Tongue& tongue = {});

}  // namespace tackcloth::sheet
