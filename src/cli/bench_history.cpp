#include "cli/bench_history.h"

#include <filesystem>

#include "ledger/ledger.h"
#include "plan/learning.h"

namespace tackcloth::cli {
namespace {

Results<std::vector<film::BenchEntry>> from_ledger(const std::string& path, const catalog::Catalog& catalog) {
  const auto one = [](Problem problem) { return tl::unexpected(std::vector<Problem>{std::move(problem)}); };
  if (path.rfind("postgresql://", 0) != 0 && !std::filesystem::exists(path))
    return one({path, 0, 0, "the file cannot be read", "a CSV of bench entries, or a data file of tackcloth serve",
                "check the path"});
  auto ledger = ledger::open(path);
  if (!ledger) return one(ledger.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  std::vector<film::BenchEntry> entries;
  if (!latest->has_value()) return entries;
  const auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  for (const plan::BenchLook& look : plan->taught.looks)
    if (auto entry = plan::entry_of(look, catalog)) entries.push_back(std::move(*entry));
  return entries;
}

}  // namespace

Results<std::vector<film::BenchEntry>> bench_history(const std::vector<std::string>& paths,
                                                     const catalog::Catalog& catalog) {
  std::vector<film::BenchEntry> all;
  for (const std::string& path : paths) {
    const bool csv = path.ends_with(".csv") || path.ends_with(".CSV");
    auto entries = csv ? film::read_bench_csv(path, catalog) : from_ledger(path, catalog);
    if (!entries) return entries;
    all.insert(all.end(), std::make_move_iterator(entries->begin()), std::make_move_iterator(entries->end()));
  }
  return all;
}

}  // namespace tackcloth::cli
