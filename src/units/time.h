// Wall-clock time at the shop. Tackcloth plans in local time without a zone ("floating" time of RFC 5545, section
// 3.3.5 form 1): the bench, its clock and its weather are in one place.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth {

using Minutes = std::chrono::minutes;
using Instant = std::chrono::local_time<Minutes>;
using Hours = std::chrono::duration<double, std::ratio<3600>>;

// "2026-03-04T17:30" (seconds accepted and dropped) or "2026-03-04" (midnight). ISO 8601.
Result<Instant> parse_instant(std::string_view text);
// "2026-03-04T17:30:00", ISO 8601 without zone.
std::string to_iso(Instant instant);
// `start` + `hours`, rounded up to the whole minute, so that nothing is called ready early.
Instant after(Instant start, double hours);
// Hours from `a` to `b`; negative when b is before a.
double hours_between(Instant a, Instant b);

}  // namespace tackcloth
