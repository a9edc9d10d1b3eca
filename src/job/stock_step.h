// What was told of the shelf, as it is stored among the changes: what came, what there is by count, what was thrown
// away. It touches nothing of the job itself: the planner reads it.
//   {"stock": "counted", "on": "2026-11-26T09:00"?, "lines": [{"product": ID, "amount": 0.6, "packs": 2?,
//                                                              "bought": DATE?, "opened": DATE?}]}
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "catalog/catalog.h"
#include "materials/stock.h"
#include "units/quantity.h"
#include "units/result.h"

namespace tackcloth::job {

struct Change;

struct StockLine {
  std::string product;  // of the catalogue, or "abrasive_p120"
  double amount = 0;    // litres, pieces, sheets, metres: the product's own unit; of one pack
  int packs = 1;
  std::string bought, opened;  // ISO 8601; empty: not said
};
struct StockStep {
  materials::Move word = materials::Move::counted;  // came, counted or gone
  std::string on;                                   // ISO 8601; empty: when it was told
  std::vector<StockLine> lines;
};

inline constexpr std::size_t kMostStockLines = 200;

// "came", "counted", "gone", "used", "there".
std::string to_text(materials::Move move);

// `text` has been read as an object with "stock".
Result<StockStep> read_stock_step(std::string_view text);
std::string to_json(const StockStep& step);

// Products are known, and what comes by the piece is not told in parts. `now`: nothing is told ahead of time.
Result<void> check_stock(const StockStep& step, const catalog::Catalog& catalog, Instant now);

// Those that stand, in their order; `by` is the key of the change.
std::vector<materials::Movement> told_stock(const std::vector<Change>& changes);

// Name and unit of what can lie on the shelf; nothing when it is not known. Abrasives go by "abrasive_p120".
struct Stocked {
  std::string name, unit;
};
std::optional<Stocked> stocked(const std::string& id, const catalog::Catalog& catalog);
// "0.6 l", "1 qt", "12 m", "3": in that unit.
Result<double> parse_amount(std::string_view text, const std::string& unit);
std::string format_amount(double amount, const std::string& unit, units::System system);

}  // namespace tackcloth::job
