// Money in whole minor units (cents). Sums are exact; rounding happens once, half away from zero, where a price is made.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth {

struct Money {
  std::int64_t minor = 0;
  friend Money operator+(Money a, Money b) { return {a.minor + b.minor}; }
  friend Money operator-(Money a, Money b) { return {a.minor - b.minor}; }
  Money& operator+=(Money b) {
    minor += b.minor;
    return *this;
  }
  friend auto operator<=>(Money, Money) = default;
};

// `amount` times `factor`, rounded half away from zero to a whole minor unit.
Money scaled(Money amount, double factor);
// "12.50", "12" -> 1250 minor units. Refuses more than two decimals and a currency sign.
Result<Money> parse_money(std::string_view text);
std::string to_text(Money amount);  // "12.50"

}  // namespace tackcloth
