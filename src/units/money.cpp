#include "units/money.h"

#include <cctype>
#include <cmath>

namespace tackcloth {

Money scaled(Money amount, double factor) { return {std::llround(double(amount.minor) * factor)}; }

Result<Money> parse_money(std::string_view text) {
  const Problem wrong{"",
                      0,
                      0,
                      "'" + std::string(text) + "' is not an amount of money",
                      "12 or 12.50",
                      "write it without a currency sign and with at most two decimals"};
  std::size_t i = 0;
  const bool negative = !text.empty() && text[0] == '-';
  if (negative) ++i;
  std::int64_t whole = 0;
  std::size_t count = 0;
  for (; i < text.size() && std::isdigit(static_cast<unsigned char>(text[i])); ++i, ++count)
    whole = whole * 10 + (text[i] - '0');
  if (count == 0 || count > 12) return tl::unexpected(wrong);
  std::int64_t minor = 0;
  if (i < text.size()) {
    if (text[i] != '.') return tl::unexpected(wrong);
    const std::string_view decimals = text.substr(i + 1);
    if (decimals.empty() || decimals.size() > 2) return tl::unexpected(wrong);
    for (char c : decimals) {
      if (!std::isdigit(static_cast<unsigned char>(c))) return tl::unexpected(wrong);
      minor = minor * 10 + (c - '0');
    }
    if (decimals.size() == 1) minor *= 10;
  }
  const std::int64_t amount = whole * 100 + minor;
  return Money{negative ? -amount : amount};
}

std::string to_text(Money amount) {
  const std::int64_t size = amount.minor < 0 ? -amount.minor : amount.minor;
  const std::int64_t cents = size % 100;
  return (amount.minor < 0 ? "-" : "") + std::to_string(size / 100) + (cents < 10 ? ".0" : ".") + std::to_string(cents);
}

}  // namespace tackcloth
