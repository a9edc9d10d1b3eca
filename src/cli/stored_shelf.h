// The shelf of a stored job, and what is told of it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cli/stored_plan.h"
#include "plan/shelf.h"

namespace tackcloth::cli {

struct StoredShelf {
  plan::Shelf shelf;
  plan::Plan plan;  // of no pieces when none is stored
  std::string currency;
  std::vector<job::Change> changes;
};
Results<StoredShelf> stored_shelf(ledger::Ledger& ledger, Instant now, const Context& context);
nlohmann::ordered_json json_of(const StoredShelf& stored);
// The same as text, for GET /api/stock.
Result<std::string> shelf_page(ledger::Ledger& ledger, const std::string& now, const Context& context);

// The body of the change to store for {stock, lines, on?}, or why it is not taken.
Result<std::string> stock_told(ledger::Ledger& ledger, const std::string& asked, const std::string& now,
                               const Context& context);

// Opens a data file that is there; never makes one.
Result<std::unique_ptr<ledger::Ledger>> open_stored(const std::string& data);
// The plan stored last, its job and the catalogue; nothing is planned anew.
Results<Planned> stored_plan_and_catalog(const std::string& data, const Context& context);

}  // namespace tackcloth::cli
