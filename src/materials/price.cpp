// Price of a piece in whole minor units.
#include <cmath>

#include "materials/materials.h"

namespace tackcloth::materials {
namespace {

__extension__ using Wide = __int128;  // 64-bit money times a scaled percentage

// amount * numerator / denominator, rounded half away from zero.
Money ratio(Money amount, std::int64_t numerator, std::int64_t denominator) {
  const Wide twice = 2 * static_cast<Wide>(amount.minor) * numerator;
  const Wide up = twice < 0 ? -static_cast<Wide>(denominator) : static_cast<Wide>(denominator);
  return {static_cast<std::int64_t>((twice + up) / (2 * static_cast<Wide>(denominator)))};
}

double counted(double value, double most) { return std::isfinite(value) && value > 0 ? std::min(value, most) : 0; }

Money percent_of(Money amount, double percent) {
  return ratio(amount, std::llround(counted(percent, 1e6) * 1e4), 1'000'000);
}

}  // namespace

Price price(Money materials, double hours, Money hourly_rate, double overhead_percent, double profit_percent,
            double tax_percent) {
  Price result;
  result.materials = materials;
  result.hours = counted(hours, 1e6);
  const Money rate{std::max<std::int64_t>(hourly_rate.minor, 0)};
  result.labour = ratio(rate, std::llround(result.hours * 60), 60);
  const Money work = result.materials + result.labour;
  result.overhead = percent_of(work, overhead_percent);
  const Money cost = work + result.overhead;
  result.profit = percent_of(cost, profit_percent);
  const Money net = cost + result.profit;
  result.tax = percent_of(net, tax_percent);
  result.total = net + result.tax;
  return result;
}

}  // namespace tackcloth::materials
