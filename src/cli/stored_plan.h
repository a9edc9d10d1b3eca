// Between the ledger and the engines: a stored job is planned again the way it was first asked, with the log since.
#pragma once

#include <string>

#include "cli/plan_job.h"
#include "ledger/ledger.h"

namespace tackcloth::cli {

std::string to_options_json(const PlanArgs& args);
Result<PlanArgs> from_options_json(const std::string& json);

// Plans `job_toml` with every entry of the ledger and stores the plan, unless it is the very plan stored last.
// `job_name` is the path of the job file: its weather file is looked for beside it.
Results<plan::Plan> plan_and_store(ledger::Ledger& ledger, const std::string& job_toml, const std::string& job_name,
                                   const PlanArgs& args, const std::string& now, const Context& context);

// The same for the job stored last.
Results<plan::Plan> replan_and_store(ledger::Ledger& ledger, const std::string& now, const Context& context);

// What would bring the dates of the job stored last forward, with its log.
Results<plan::Helps> sooner_stored(ledger::Ledger& ledger, const Context& context,
                                   const std::function<bool(int, int)>& between);

}  // namespace tackcloth::cli
