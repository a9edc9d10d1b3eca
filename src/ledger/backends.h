// The two stores behind the Ledger interface.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "ledger/ledger.h"

namespace tackcloth::ledger {

Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path);
Result<std::unique_ptr<Ledger>> open_postgres(const std::string& url);

// Refuses what no store could hold faithfully: an empty key, step or word, or a NUL inside a text.
Result<void> check(const StoredPlan& plan);
Result<void> check(const StoredEntry& entry);
Result<void> check(const StoredChange& change);

Result<void> check(const StoredPhone& phone);
Problem no_such_phone(long long id);

// Also refuses a size that no photo has, and bytes beyond the end of it.
Result<void> check(const StoredPhoto& photo, long long offset, const std::string& bytes);
// What of `bytes`, sent for `offset`, goes on where `have` ends: none, the tail, or all.
std::string_view new_bytes(const std::string& bytes, long long offset, long long have);
Problem photo_differs(const std::string& id);
Problem photo_not_there(const std::string& id);

// What is_no_room() goes by.
inline constexpr const char* kRoom = "room on the disk";

Problem newer_schema(const std::string& where, int found);

}  // namespace tackcloth::ledger
