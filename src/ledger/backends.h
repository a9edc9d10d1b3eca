// The two stores behind the Ledger interface.
#pragma once

#include <memory>
#include <string>

#include "ledger/ledger.h"

namespace tackcloth::ledger {

Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path);
Result<std::unique_ptr<Ledger>> open_postgres(const std::string& url);

// Refuses what no store could hold faithfully: an empty key, step or word, or a NUL inside a text.
Result<void> check(const StoredPlan& plan);
Result<void> check(const StoredEntry& entry);
Result<void> check(const StoredChange& change);

Problem newer_schema(const std::string& where, int found);

}  // namespace tackcloth::ledger
