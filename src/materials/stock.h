// The shelf as a book: what was there, came, was counted, used and thrown away, in the order in which it happened.
// Whole ten-thousandths of a litre (piece, sheet, metre), so that it adds up exactly:
//   there + came + found - used - gone = on_shelf
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "units/time.h"

namespace tackcloth::materials {

inline constexpr double kStockGrain = 1e4;  // in one litre, piece, sheet or metre

enum class Move { there, came, counted, used, gone };

struct Movement {
  Move move = Move::came;
  std::string product;
  std::int64_t amount = 0;  // grains, 0 or more; of `counted` what there is in all
  Instant when;
  std::optional<Instant> bought, opened;  // of there, came, counted; came: bought `when` where nothing else is said
  std::string by;                         // of used: the step
};

// One can. After `use_by` it is not counted on; nothing: not known, or it keeps.
struct Lot {
  std::int64_t amount = 0;
  std::optional<Instant> bought, opened, use_by;
};

// Drawn from a shelf on which nothing was left.
struct Short {
  std::string by;
  Instant when;
  std::int64_t amount = 0;
};

struct Book {
  std::string product;
  std::int64_t there = 0, came = 0, used = 0, gone = 0;
  std::int64_t found = 0;          // counted less what the book had: below zero where something was missing
  std::int64_t on_shelf = 0;       // below zero: more was drawn than ever came; `shorts` add up to it
  std::int64_t expired = 0;        // of the lots, past its date
  std::optional<Instant> use_by;   // the earliest date to come
  std::optional<Instant> counted;  // last
  bool told = false;               // something of it came, was counted or thrown away
  std::vector<Lot> lots;           // what is to be used first comes first
  std::vector<Short> shorts;
};

// Months from buying, and from opening. Nothing: it keeps.
struct Keeps {
  std::optional<double> closed_months, opened_months;
};
using KeepsOf = std::function<Keeps(const std::string& product)>;

// By product. Movements in any order; of one minute uses come first (what is done by then was used before), the others
// as they stand. What is used comes from the can whose date ends first and is not over, and opens it; what is thrown
// away from the oldest. A count without dates leaves the cans as they are: what is missing is taken as used, what is
// more goes to the oldest. Cans are judged at `now`.
std::vector<Book> books(std::vector<Movement> movements, const KeepsOf& keeps, Instant now);
// What may still be counted on at `when`, were nothing more drawn.
std::int64_t usable_at(const Book& book, Instant when);

std::int64_t stock_grains(double amount);  // to the nearest
double stock_amount(std::int64_t grains);

}  // namespace tackcloth::materials
