// Bench entries of earlier work, for the film engine to learn from.
#pragma once

#include <string>
#include <vector>

#include "film/calibrate.h"
#include "plan/pace.h"

namespace tackcloth::cli {

// Each path is a CSV of bench entries (docs/film.md) or a data file of `tackcloth serve`, of which the looks logged at
// coats are taken. A data file is never created or changed here.
struct BenchHistory {
  std::vector<film::BenchEntry> looks;
  std::vector<plan::PaceLine> paces;  // of data files: how long steps took
};
Results<BenchHistory> bench_history(const std::vector<std::string>& paths,
                                    const catalog::Catalog& catalog);

}  // namespace tackcloth::cli
