// Between the ledger and the engines: a stored job is planned again the way it was first asked, with the log since.
#pragma once

#include <optional>
#include <string>

#include "cli/plan_job.h"
#include "job/changes.h"
#include "ledger/ledger.h"

namespace tackcloth::cli {

std::string to_options_json(const PlanArgs& args);
Result<PlanArgs> from_options_json(const std::string& json);

// A shop that was set up on the page has no job file: its base is catalog/first-shop.toml, its name is empty, its plan
// starts now (or with the first thing logged), and nothing undone is planned in the past.
bool set_up_on_page(const std::string& job_name);

// Plans `job_toml` with every entry of the ledger and stores the plan, unless it is the very plan stored last.
// `job_name` is the path of the job file: its weather file is looked for beside it.
Results<plan::Plan> plan_and_store(ledger::Ledger& ledger, const std::string& job_toml, const std::string& job_name,
                                   const PlanArgs& args, const std::string& now, const Context& context);

// The same for the job stored last.
Results<plan::Plan> replan_and_store(ledger::Ledger& ledger, const std::string& now, const Context& context);

// The stored job as it stands: its text with all changes laid over it. With nothing stored yet, the first shop.
struct Standing {
  std::string toml, name;
  PlanArgs args;
  std::vector<plan::LogEntry> log;
  std::vector<job::Change> changes;
  long long version = 0;  // grows with every plan and change
};
Results<Standing> standing_job(ledger::Ledger& ledger, const Context& context);
// The stored job with these changes, which have been settled, laid over what was first given.
Result<std::string> changed_job(ledger::Ledger& ledger, const std::vector<job::Change>& changes,
                                const Context& context);
// Would the stored job still hold with this change?
Result<void> accepts(ledger::Ledger& ledger, const ledger::StoredChange& change, const Context& context);

// A step of the plan stored last to be pinned to an hour, or to be let go.
struct PinAsked {
  std::string step;
  std::optional<Instant> start;                // nothing: let go
  std::optional<std::optional<Instant>> seen;  // what its writer saw it pinned to; left out: they did not say
};
// The body of the change to store (job/changes.h), or why it cannot be kept. Where another pin stands than the one its
// writer had seen, the new one is kept beside it, to be chosen.
Results<std::string> pin_body(ledger::Ledger& ledger, const PinAsked& asked, const std::string& now,
                              const Context& context);

// What would bring the dates of the job stored last forward, with its log.
Results<plan::Helps> sooner_stored(ledger::Ledger& ledger, const Context& context,
                                   const std::function<bool(int, int)>& between);

}  // namespace tackcloth::cli
