#include "materials/offer.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "materials/materials.h"
#include "materials/share.h"

namespace tackcloth::materials {
namespace {

constexpr std::int64_t kMostMinor = 100'000'000'000;  // a thousand million: far above any piece, far below overflow

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

bool within(double value, double most) { return std::isfinite(value) && value >= 0 && value <= most; }
bool within(Money amount) { return amount.minor >= 0 && amount.minor <= kMostMinor; }

std::optional<Problem> checked(const Costs& costs, const Ask& ask) {
  const auto bad = [](std::string what, std::string expected) {
    return Problem{"", 0, 0, std::move(what), std::move(expected), "check the figure"};
  };
  if (!within(costs.hours, 1e5)) return bad("the hours of this piece are no number of hours", "0 to 100000 h");
  if (!within(costs.overhead_percent, 1000) || !within(costs.profit_percent, 1000))
    return bad("overhead or profit is out of bounds", "0 to 1000 %");
  if (!within(costs.tax_percent, 100)) return bad("the tax is out of bounds", "0 to 100 %");
  for (const Fee& fee : costs.waste_fees)
    if (!within(fee.amount)) return bad("the fee '" + fee.what + "' is " + to_text(fee.amount), "money from 0 on");
  if (!within(costs.materials) || !within(costs.hourly_rate) || !within(sum_of(costs.waste_fees)))
    return bad("materials, rate or fees are out of bounds", "money from 0 to 1000000000.00");
  if (ask.from != Ask::From::cost && !within(ask.amount))
    return bad(
        (ask.from == Ask::From::market ? "the market price is " : "the wanted earning is ") + to_text(ask.amount),
        "money from 0 to 1000000000.00");
  if (ask.from == Ask::From::market && ask.amount.minor == 0)
    return bad("the market price is nothing", "what a buyer would pay in all, tax included");
  return std::nullopt;
}

}  // namespace

std::string to_text(Ask::From from) {
  switch (from) {
    case Ask::From::earning:
      return "earning";
    case Ask::From::market:
      return "market";
    case Ask::From::cost:
      break;
  }
  return "cost";
}

Money sum_of(const std::vector<Fee>& fees) {
  Money sum;
  for (const Fee& fee : fees) sum += fee.amount;
  return sum;
}

Result<Deposit> parse_deposit(std::string_view text) {
  constexpr const char* kForms = "a percentage from 0 to 100, as \"30%\", or money, as \"150.00\"";
  Deposit deposit;
  if (text.ends_with('%')) {
    std::string digits(text.substr(0, text.size() - 1));
    while (digits.ends_with(' ')) digits.pop_back();
    char* end = nullptr;
    deposit.percent = std::strtod(digits.c_str(), &end);
    const bool plain = !digits.empty() && digits.find_first_not_of("0123456789.") == std::string::npos;
    if (!plain || *end != '\0' || !within(deposit.percent, 100))
      return wrong("'" + std::string(text.substr(0, 40)) + "' is no deposit", kForms, "check the figure");
    return deposit;
  }
  const auto amount = parse_money(text);
  if (!amount || !within(*amount))
    return wrong("'" + std::string(text.substr(0, 40)) + "' is no deposit", kForms, "check the figure");
  deposit.amount = *amount;
  return deposit;
}

Result<Offer> offer(const Costs& costs, const Ask& ask, const Deposit& deposit) {
  if (auto problem = checked(costs, ask)) return tl::unexpected(*problem);
  Offer made;
  made.from = ask.from;
  made.waste_fees = costs.waste_fees;
  const Money fees = sum_of(costs.waste_fees);
  const Price from_cost = price(costs.materials, costs.hours, costs.hourly_rate, costs.overhead_percent,
                                costs.profit_percent, costs.tax_percent, fees);
  made.minutes = static_cast<int>(std::llround(costs.hours * 60));
  made.materials = from_cost.materials;
  made.overhead = from_cost.overhead;
  const Money spent = made.materials + made.overhead + fees;
  made.break_even = spent + percent_of(spent, costs.tax_percent);
  switch (ask.from) {
    case Ask::From::cost:
      made.work = from_cost.labour;
      made.profit = from_cost.profit;
      break;
    case Ask::From::earning:
      made.work = share_of(ask.amount, made.minutes, 60);
      break;
    case Ask::From::market: {
      const std::int64_t tax = steps_of(costs.tax_percent);
      made.tax = share_of(ask.amount, tax, kWhole + tax);
      made.work = ask.amount - made.tax - spent;
      break;
    }
  }
  made.net = spent + made.work + made.profit;
  if (ask.from != Ask::From::market) made.tax = percent_of(made.net, costs.tax_percent);
  made.total = made.net + made.tax;
  made.earned = made.work + made.profit;
  if (made.minutes > 0) made.per_hour = share_of(made.earned, 60, made.minutes);
  made.deposit = deposit.amount ? *deposit.amount : percent_of(made.total, deposit.percent);
  if (made.deposit > made.total)
    return wrong("the deposit of " + to_text(made.deposit) + " is above the total of " + to_text(made.total),
                 "a deposit up to the total", "ask for less before the work, or write it as a percentage");
  made.balance = made.total - made.deposit;
  return made;
}

}  // namespace tackcloth::materials
