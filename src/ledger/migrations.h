// The schema, one step after another. A step that has been released is never edited; a change is a new step.
#pragma once

#include <span>

namespace tackcloth::ledger {

struct Migration {
  int version;
  const char* sqlite;  // run inside one transaction together with the row in schema_version
  const char* postgres;
};

std::span<const Migration> migrations();
int newest_version();

}  // namespace tackcloth::ledger
