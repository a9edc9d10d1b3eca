// Price of a piece in whole minor units.
#include <algorithm>
#include <cmath>

#include "materials/materials.h"
#include "materials/share.h"

namespace tackcloth::materials {

Price price(Money materials, double hours, Money hourly_rate, double overhead_percent, double profit_percent,
            double tax_percent, Money waste_fees) {
  Price result;
  result.materials = materials;
  result.hours = std::isfinite(hours) && hours > 0 ? std::min(hours, 1e6) : 0;
  const Money rate{std::max<std::int64_t>(hourly_rate.minor, 0)};
  result.labour = share_of(rate, std::llround(result.hours * 60), 60);
  const Money work = result.materials + result.labour;
  result.overhead = percent_of(work, overhead_percent);
  const Money cost = work + result.overhead;
  result.profit = percent_of(cost, profit_percent);
  result.fees = waste_fees;
  const Money net = cost + result.profit + result.fees;
  result.tax = percent_of(net, tax_percent);
  result.total = net + result.tax;
  return result;
}

}  // namespace tackcloth::materials
