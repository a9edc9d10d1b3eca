#include "cli/stored_actuals.h"

#include <filesystem>

#include "cli/stored_plan.h"

namespace tackcloth::cli {

Results<StoredActuals> stored_actuals(const std::string& data, const Context& context) {
  const auto one = [](Problem problem) { return tl::unexpected(std::vector<Problem>{std::move(problem)}); };
  const bool remote = data.starts_with("postgresql://") || data.starts_with("postgres://");
  if (!remote && !std::filesystem::exists(data))
    return one({data, 0, 0, "there is no such data file", "a file that tackcloth serve keeps, or postgresql://...",
                "name it with --data"});
  auto ledger = ledger::open(data);
  if (!ledger) return one(ledger.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value())
    return one({remote ? "" : data, 0, 0, "there is no plan in it", "a stored plan",
                "start with tackcloth serve --job JOB.toml --data " + (remote ? std::string("...") : data)});
  const auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  const auto standing = standing_job(**ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return tl::unexpected(catalog.error());
  const auto job = job::parse_job(standing->toml, standing->name, *catalog,
                                  set_up_on_page(standing->name) ? job::Pieces::may_be_none : job::Pieces::needed);
  if (!job) return tl::unexpected(job.error());
  auto actuals = plan::actuals(*job, *plan);
  if (!actuals) return one(actuals.error());
  auto entries = (*ledger)->entries();
  if (!entries) return one(entries.error());
  return StoredActuals{plan->currency, std::move(*actuals), plan->taught.pace.kinds, std::move(*entries)};
}

}  // namespace tackcloth::cli
