#include "cli/bench_history.h"

#include <filesystem>

#include "cli/problems.h"
#include "ledger/ledger.h"
#include "plan/learning.h"

namespace tackcloth::cli {
namespace {

Results<BenchHistory> from_ledger(const std::string& path, const catalog::Catalog& catalog) {
  if (path.rfind("postgresql://", 0) != 0 && !std::filesystem::exists(path))
    return one({path, 0, 0, "the file cannot be read", "a CSV of bench entries, or a data file of tackcloth serve",
                "check the path"});
  auto ledger = ledger::open(path);
  if (!ledger) return one(ledger.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  BenchHistory history;
  if (!latest->has_value()) return history;
  const auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  for (const plan::BenchLook& look : plan->taught.looks)
    if (auto entry = plan::entry_of(look, catalog)) history.looks.push_back(std::move(*entry));
  history.paces = plan->taught.pace.lines;
  return history;
}

}  // namespace

Results<BenchHistory> bench_history(const std::vector<std::string>& paths, const catalog::Catalog& catalog) {
  BenchHistory all;
  for (const std::string& path : paths) {
    const bool csv = path.ends_with(".csv") || path.ends_with(".CSV");
    BenchHistory one;
    if (csv) {
      auto looks = film::read_bench_csv(path, catalog);
      if (!looks) return tl::unexpected(looks.error());
      one.looks = std::move(*looks);
    } else {
      auto stored = from_ledger(path, catalog);
      if (!stored) return stored;
      one = std::move(*stored);
    }
    all.looks.insert(all.looks.end(), std::make_move_iterator(one.looks.begin()),
                     std::make_move_iterator(one.looks.end()));
    all.paces.insert(all.paces.end(), one.paces.begin(), one.paces.end());
  }
  return all;
}

}  // namespace tackcloth::cli
