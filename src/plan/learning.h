// From the bench log to what it teaches the film engine.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "plan/dates.h"

namespace tackcloth::plan {

// Looks at coats that are logged as done. `dated` says in which room each dries. A look at a coat not logged as done
// has no hours and teaches nothing.
std::vector<film::BenchEntry> bench_entries(const DateInput& input, const Dated& dated);

// The lines of the plan for it. `entries` as bench_entries() gave them; `learned` may rest on more.
Taught taught_by(const film::Learned& learned, const std::vector<film::BenchEntry>& entries,
                 const catalog::Catalog& catalog);

// A look as a bench entry again. A product the catalogue no longer has: no entry.
std::optional<film::BenchEntry> entry_of(const BenchLook& look, const catalog::Catalog& catalog);

}  // namespace tackcloth::plan
