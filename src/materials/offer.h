// What is asked of the owner for a piece, found from cost, from a wanted earning or from a price the market gives; and
// what the piece then pays for an hour of work. Whole minor units; every sum is the sum of its lines.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "units/money.h"
#include "units/result.h"

namespace tackcloth::materials {

struct Fee {
  std::string what;
  Money amount;
};
Money sum_of(const std::vector<Fee>& fees);

// What the shop spends on the piece and asks for it.
struct Costs {
  Money materials;
  double hours = 0;
  Money hourly_rate;
  double overhead_percent = 0;  // on materials and labour at the hourly rate: what runs on, however the price is found
  double profit_percent = 0;    // on materials, labour and overhead
  double tax_percent = 0;       // on all lines; what the authority of the place asks for is the shop's to know
  std::vector<Fee> waste_fees;  // passed on as they are: no overhead, no profit
};

struct Ask {
  enum class From {
    cost,     // labour at the shop's rate, and profit
    earning,  // `amount` for an hour of work, nothing on top
    market    // `amount` is what the owner pays in all, tax included
  };
  From from = From::cost;
  Money amount;
};
std::string to_text(Ask::From from);

struct Deposit {
  std::optional<Money> amount;  // else
  double percent = 0;           // of the total
};
// "30%" or "150.00".
Result<Deposit> parse_deposit(std::string_view text);

struct Offer {
  Ask::From from = Ask::From::cost;
  Money materials, work, overhead, profit;  // `work` is below zero when a market price does not pay the rest
  std::vector<Fee> waste_fees;
  Money net;               // the five above
  Money tax;               // on net
  Money total;             // net and tax
  Money deposit, balance;  // total = deposit + balance
  int minutes = 0;
  Money earned;                   // net less materials, overhead and fees
  std::optional<Money> per_hour;  // earned by the hour; nothing when there is no work
  Money break_even;               // the total at which `earned` is nothing
};

// Each line is rounded once, half away from zero, to a whole minor unit; percentages count to 0.0001 %, work by the
// whole minute. A market price M holds tax M * t / (1 + t), rounded, and the rest is net. Problems: hours, percentages
// or money below zero, not finite or above what a shop could mean; a deposit above the total.
Result<Offer> offer(const Costs& costs, const Ask& ask, const Deposit& deposit);

}  // namespace tackcloth::materials
