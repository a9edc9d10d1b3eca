// What is told of hours and money, for the page: GET /api/actual?piece=ID and GET /api/year?year=2026&as=csv.
#pragma once

#include "cli/command.h"
#include "service/service.h"

namespace tackcloth::cli {

// Without a piece: all of the plan.
Result<service::Asset> actual_page(ledger::Ledger& ledger, const std::string& query, const Context& context);
// Without a year: that of `now`. As JSON, or as a file with `as=csv` or `as=ods`.
Result<service::Asset> year_page(ledger::Ledger& ledger, const std::string& query, const std::string& now,
                                 const Context& context);

}  // namespace tackcloth::cli
