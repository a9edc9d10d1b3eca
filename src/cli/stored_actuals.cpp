#include "cli/stored_actuals.h"

#include <fmt/format.h>

#include <filesystem>
#include <set>

#include "cli/job_of.h"
#include "cli/problems.h"
#include "plan/step_mark.h"

namespace tackcloth::cli {
Results<StoredActuals> stored_actuals(ledger::Ledger& ledger, const Context& context) {
  const auto latest = ledger.latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value())
    return one({"", 0, 0, "there is no plan yet", "a stored plan", "start with tackcloth serve --job JOB.toml"});
  const auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  const auto stored = job_of_store(ledger, context);
  if (!stored) return one(stored.error());
  auto actuals = plan::actuals(stored->job, *plan);
  if (!actuals) return one(actuals.error());
  auto entries = ledger.entries();
  if (!entries) return one(entries.error());
  return StoredActuals{plan->currency, std::move(*actuals), plan->taught.pace.kinds, std::move(*entries)};
}

Results<StoredActuals> stored_actuals(const std::string& data, const Context& context) {
  const bool remote = data.starts_with("postgresql://") || data.starts_with("postgres://");
  if (!remote && !std::filesystem::exists(data))
    return one({data, 0, 0, "there is no such data file", "a file that tackcloth serve keeps, or postgresql://...",
                "name it with --data"});
  auto ledger = ledger::open(data);
  if (!ledger) return one(ledger.error());
  const auto newest = (*ledger)->latest_plan_id();
  if (!newest) return one(newest.error());
  if (*newest == 0)
    return one({remote ? "" : data, 0, 0, "there is no plan in it", "a stored plan",
                "start with tackcloth serve --job JOB.toml --data " + (remote ? std::string("...") : data)});
  return stored_actuals(**ledger, context);
}

plan::Year year_told(const StoredActuals& stored, int year) {
  plan::Year told = plan::year_of(year, stored.currency, stored.pieces);
  std::set<std::string> there, gone;
  for (const plan::PieceActual& piece : stored.pieces) there.insert(piece.id);
  for (const ledger::StoredEntry& entry : stored.entries) {
    const auto mark = entry.what == "done" ? plan::read_mark(entry.mark) : std::nullopt;
    if (mark && mark->step == "hand_over" && !there.contains(mark->piece) &&
        entry.when.starts_with(fmt::format("{:04}-", year)))
      gone.insert(mark->piece);
  }
  told.missing = {gone.begin(), gone.end()};
  return told;
}

}  // namespace tackcloth::cli
