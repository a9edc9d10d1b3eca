#include "cli/job_of.h"

#include "cli/data_files.h"

namespace tackcloth::cli {

Results<ReadJob> job_of_file(const std::string& path, const Context& context) {
  auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error());
  auto job = job::read_job(path, **catalog);
  if (!job) return tl::unexpected(job.error());
  return ReadJob{std::move(*catalog), std::move(*job)};
}

Result<StoredJob> job_of_store(ledger::Ledger& ledger, const Context& context, job::Pieces pieces) {
  auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error().front());
  auto job = job::parse_job(standing->toml, standing->name, **catalog, pieces);
  if (!job) return tl::unexpected(job.error().front());
  return StoredJob{std::move(*standing), std::move(*catalog), std::move(*job)};
}

}  // namespace tackcloth::cli
