// Bench entries of earlier work, for the film engine to learn from.
#pragma once

#include <string>
#include <vector>

#include "film/calibrate.h"

namespace tackcloth::cli {

// Each path is a CSV of bench entries (docs/film.md) or a data file of `tackcloth serve`, of which the looks logged at
// coats are taken. A data file is never created or changed here.
Results<std::vector<film::BenchEntry>> bench_history(const std::vector<std::string>& paths,
                                                     const catalog::Catalog& catalog);

}  // namespace tackcloth::cli
