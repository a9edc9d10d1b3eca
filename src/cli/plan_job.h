// From a job file to a Plan, with catalogue, film model, rules and weather loaded: what plan, check, buy, quote, log,
// sooner and serve share.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "cli/command.h"
#include "cli/data_files.h"
#include "look/look.h"
#include "picture/image.h"
#include "plan/sooner.h"

namespace tackcloth::cli {

struct PlanArgs {
  std::string weather;  // EPW file; empty: the job's own
  std::string start;    // ISO 8601; empty: the job's own
  std::uint64_t seed = 1;
  int threads = 1;
  std::string prefer = "fastest";               // or "cheapest"
  std::string asked_at;                         // now, ISO 8601: the start when neither is given
  std::string not_before = {};                  // ISO 8601: what is not done is not planned before it; never stored
  std::vector<plan::Pin> pins = {};             // of the stored job; never stored with the plan
  std::vector<materials::Movement> stock = {};  // what was told of the shelf; never stored with the plan
  std::vector<std::string> learn;               // bench entries of earlier work: CSV or data files
  bool table_pace = false;                      // hours of the table, not of the shop's own pace
};

// The plan with what it was made from.
struct Planned {
  std::unique_ptr<const Loaded> loaded;
  job::Job job;
  plan::Plan plan;
};
Results<Planned> planned_job(const std::string& job_path, const PlanArgs& args, const Context& context);
// Its pieces, or the one with this id; a Problem when there is none.
Result<std::vector<std::size_t>> pieces_asked(const Planned& planned, const std::string& id);

// The shop of a job file with all that plans are made from, for a piece that is not in it.
struct ShopAsked {
  std::unique_ptr<const Loaded> loaded;
  job::Job job;
  plan::World world;
  plan::Options options;
};
Results<ShopAsked> shop_asked(const std::string& job_path, const PlanArgs& args, const Context& context);
// The same of a job's text; it may have no piece yet.
Results<ShopAsked> shop_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                             const Context& context);

Results<plan::Plan> plan_job(const std::string& job_path, const PlanArgs& args, const Context& context);
// `name` is the path the text came from: the weather file is looked for beside it.
Results<plan::Plan> plan_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                              const std::vector<plan::LogEntry>& log, const Context& context,
                              job::Pieces pieces = job::Pieces::needed);

// Whether that job would be planned with a step at this hour: a Problem says why not (plan::check_pin).
Results<void> pin_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                       const std::vector<plan::LogEntry>& log, const Context& context, const plan::Plan& standing,
                       const plan::Pin& pin, Instant now, job::Pieces pieces);

// What would bring the dates of a job forward, beside its plan.
struct Helped {
  plan::Plan base;
  plan::Helps helps;
};
Results<Helped> sooner_job(const std::string& job_path, const PlanArgs& args, const Context& context,
                           const std::function<bool(int, int)>& between = {});
Results<Helped> sooner_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                            const std::vector<plan::LogEntry>& log, const Context& context,
                            const std::function<bool(int, int)>& between = {});

// Looks of one piece side by side, with their pictures.
struct Compared {
  job::Job job;
  std::vector<look::Board> boards;
  std::vector<picture::Image> pictures;  // one a board
  std::vector<std::string> notes;        // how far to trust them
};
Results<Compared> boards_text(std::string_view toml, const std::string& name, const std::string& piece,
                              const PlanArgs& args, const std::vector<plan::LogEntry>& log, const Context& context,
                              int picture_width, const std::function<bool(int, int)>& between = {});

// --weather, --start, --seed, --threads, --prefer on a subcommand.
void add_plan_options(CLI::App& command, PlanArgs& args);

}  // namespace tackcloth::cli
