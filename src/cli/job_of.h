// A job as it is written, read against the catalogue: from its file, or from the store as it stands.
#pragma once

#include <memory>
#include <string>

#include "cli/command.h"
#include "cli/stored_plan.h"
#include "job/job.h"

namespace tackcloth::cli {

struct ReadJob {
  std::shared_ptr<const catalog::Catalog> catalog;
  job::Job job;
};
struct StoredJob {
  Standing standing;
  std::shared_ptr<const catalog::Catalog> catalog;
  job::Job job;
};

Results<ReadJob> job_of_file(const std::string& path, const Context& context);
// The first problem only: a page has room for one.
Result<StoredJob> job_of_store(ledger::Ledger& ledger, const Context& context,
                               job::Pieces pieces = job::Pieces::may_be_none);

}  // namespace tackcloth::cli
