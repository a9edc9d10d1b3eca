#include "cli/clock.h"

#include <ctime>

namespace tackcloth::cli {

Instant wall_clock() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  const std::chrono::year_month_day day{std::chrono::year(local.tm_year + 1900),
                                        std::chrono::month(static_cast<unsigned>(local.tm_mon + 1)),
                                        std::chrono::day(static_cast<unsigned>(local.tm_mday))};
  return Instant(std::chrono::local_days(day)) + std::chrono::hours(local.tm_hour) + Minutes(local.tm_min);
}

}  // namespace tackcloth::cli
