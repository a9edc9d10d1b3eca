// What a data file says of hours and money, read without planning anew.
#pragma once

#include <string>
#include <vector>

#include "cli/command.h"
#include "ledger/ledger.h"
#include "plan/year.h"

namespace tackcloth::cli {

struct StoredActuals {
  std::string currency;
  std::vector<plan::PieceActual> pieces;
  std::vector<plan::LearnedPace> paces;
  std::vector<ledger::StoredEntry> entries;
};
// Of the latest plan, with the job as it stands. A data file is never created here.
Results<StoredActuals> stored_actuals(const std::string& data, const Context& context);
Results<StoredActuals> stored_actuals(ledger::Ledger& ledger, const Context& context);
// With the pieces whose hand-over was logged in that year and which the plan does not have any more named as missing.
plan::Year year_told(const StoredActuals& stored, int year);

}  // namespace tackcloth::cli
