#include "cli/stored_plan.h"

#include <chrono>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/problems.h"
#include "plan/step_mark.h"

namespace tackcloth::cli {
namespace {

Results<std::vector<plan::LogEntry>> log_of(ledger::Ledger& ledger) {
  const auto stored = ledger.entries();
  if (!stored) return one(stored.error());
  std::vector<plan::LogEntry> log;
  for (const auto& entry : *stored) {
    const auto when = parse_instant(entry.when);
    if (!when) return one(when.error());
    log.push_back({entry.step, *when, entry.what, entry.note, entry.mark, entry.took_min});
  }
  return log;
}

Results<std::vector<job::Change>> changes_of(ledger::Ledger& ledger) {
  const auto stored = ledger.changes();
  if (!stored) return one(stored.error());
  std::vector<job::Change> changes;
  for (const auto& row : *stored) {
    auto change = job::read_change(row.key, row.when, row.body);
    if (!change) return one(change.error());
    changes.push_back(std::move(*change));
  }
  if (auto settled = job::settle(changes); !settled) return one(settled.error());
  return changes;
}

std::vector<plan::Pin> pins_of(const std::vector<job::Change>& changes) {
  std::vector<plan::Pin> pins;
  for (const job::PinStep& step : job::standing_pins(changes)) {
    plan::Pin pin{step.step, {}, step.mark};
    if (const auto start = parse_instant(step.start)) pin.start = *start;
    pins.push_back(std::move(pin));
  }
  return pins;
}

}  // namespace

std::string to_options_json(const PlanArgs& args) {
  return nlohmann::ordered_json{{"weather", args.weather}, {"start", args.start},          {"seed", args.seed},
                                {"threads", args.threads}, {"prefer", args.prefer},        {"asked_at", args.asked_at},
                                {"learn", args.learn},     {"table_pace", args.table_pace}}
      .dump();
}

Result<PlanArgs> from_options_json(const std::string& json) {
  try {
    const auto read = nlohmann::json::parse(json);
    PlanArgs args;
    args.weather = read.value("weather", args.weather);
    args.start = read.value("start", args.start);
    args.seed = read.value("seed", args.seed);
    args.threads = read.value("threads", args.threads);
    args.prefer = read.value("prefer", args.prefer);
    args.asked_at = read.value("asked_at", args.asked_at);
    args.learn = read.value("learn", args.learn);
    args.table_pace = read.value("table_pace", args.table_pace);
    return args;
  } catch (const nlohmann::json::exception& error) {
    return tl::unexpected(Problem{"", 0, 0, std::string("the stored options cannot be read: ") + error.what(),
                                  "options as tackcloth stored them", "plan the job file again with serve --job"});
  }
}

bool set_up_on_page(const std::string& job_name) { return job_name.empty(); }

namespace {

// The job as it was first given to this ledger.
struct Base {
  std::string toml, name;
  PlanArgs args;
  std::optional<ledger::StoredPlan> latest;
};

Results<Base> base_of(ledger::Ledger& ledger, const Context& context) {
  Base base;
  auto latest = ledger.latest_plan();
  if (!latest) return one(latest.error());
  base.latest = std::move(*latest);
  if (base.latest) {
    base.toml = base.latest->job_toml;
    base.name = base.latest->job_name;
    const auto args = from_options_json(base.latest->options_json);
    if (!args) return one(args.error());
    base.args = *args;
    return base;
  }
  const std::string path = (std::filesystem::path(context.catalog_dir) / "first-shop.toml").string();
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) return one(Problem{path, 0, 0, "the first shop cannot be read", "the file", "install Tackcloth again"});
  base.toml = text.str();
  return base;
}

job::Pieces pieces_of(const std::string& job_name) {
  return set_up_on_page(job_name) ? job::Pieces::may_be_none : job::Pieces::needed;
}

// A day before the first thing logged, so that its work lies after the start.
std::string rolling_start(const std::vector<plan::LogEntry>& log, const std::string& now) {
  const auto here = parse_instant(now);
  if (!here) return now;
  Instant start = *here;
  for (const plan::LogEntry& entry : log) start = std::min(start, entry.when - std::chrono::hours(24));
  return to_iso(start);
}

}  // namespace

Results<plan::Plan> plan_and_store(ledger::Ledger& ledger, const std::string& job_toml, const std::string& job_name,
                                   const PlanArgs& given, const std::string& now, const Context& context) {
  auto log = log_of(ledger);
  if (!log) return tl::unexpected(log.error());
  const auto changes = changes_of(ledger);
  if (!changes) return tl::unexpected(changes.error());
  const auto toml = job::laid_over(job_toml, job::standing(*changes));
  if (!toml) return one(toml.error());
  PlanArgs args = given;
  args.pins = pins_of(*changes);
  args.stock = job::told_stock(*changes);
  if (set_up_on_page(job_name)) {
    args.asked_at = rolling_start(*log, now);
    args.not_before = now;
  }
  auto plan = plan_text(*toml, job_name, args, *log, context, pieces_of(job_name));
  if (!plan) return plan;
  ledger::StoredPlan stored{0, now, job_name, job_toml, plan::to_json(*plan), to_options_json(args)};
  const auto latest = ledger.latest_plan();
  if (!latest) return one(latest.error());
  if (latest->has_value() && (*latest)->plan_json == stored.plan_json && (*latest)->job_toml == job_toml &&
      (*latest)->options_json == stored.options_json) {
    return plan;
  }
  if (const auto id = ledger.add_plan(stored); !id) return one(id.error());
  return plan;
}

Results<Standing> standing_job(ledger::Ledger& ledger, const Context& context) {
  auto base = base_of(ledger, context);
  if (!base) return tl::unexpected(base.error());
  Standing job;
  job.name = base->name;
  job.args = base->args;
  auto log = log_of(ledger);
  if (!log) return tl::unexpected(log.error());
  job.log = std::move(*log);
  auto changes = changes_of(ledger);
  if (!changes) return tl::unexpected(changes.error());
  auto toml = job::laid_over(base->toml, job::standing(*changes));
  if (!toml) return one(toml.error());
  job.toml = std::move(*toml);
  job.args.pins = pins_of(*changes);
  job.args.stock = job::told_stock(*changes);
  job.version = (base->latest ? base->latest->id : 0) + static_cast<long long>(changes->size());
  job.changes = std::move(*changes);
  return job;
}

Result<std::string> changed_job(ledger::Ledger& ledger, const std::vector<job::Change>& changes,
                                const Context& context) {
  const auto base = base_of(ledger, context);
  if (!base) return tl::unexpected(base.error().front());
  return job::laid_over(base->toml, job::standing(changes));
}

Result<void> accepts(ledger::Ledger& ledger, const ledger::StoredChange& change, const Context& context) {
  const auto base = base_of(ledger, context);
  if (!base) return tl::unexpected(base.error().front());
  auto changes = changes_of(ledger);
  if (!changes) return tl::unexpected(changes.error().front());
  auto read = job::read_change(change.key, change.when, change.body);
  if (!read) return tl::unexpected(read.error());
  changes->push_back(std::move(*read));
  if (auto settled = job::settle(*changes); !settled) return settled;
  if (changes->back().pin)
    return tl::unexpected(Problem{"", 0, 0, "a pin is no change to the job", "a change to a piece, the shop or a look",
                                  "send it to /api/pin"});
  if (changes->back().stock)
    return tl::unexpected(Problem{"", 0, 0, "what is on the shelf is no change to the job",
                                  "a change to a piece, the shop or a look", "send it to /api/stock"});
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error().front());
  if (changes->back().reading) {
    const auto toml = job::laid_over(base->toml, job::standing(*changes));
    if (!toml) return tl::unexpected(toml.error());
    const auto job = job::parse_job(*toml, base->name, **catalog, pieces_of(base->name));
    if (!job) return tl::unexpected(job.error().front());
    std::string known;
    for (const job::Room& room : job->shop.rooms) {
      if (room.id == changes->back().reading->room) return {};
      known += (known.empty() ? "" : ", ") + room.id;
    }
    return tl::unexpected(Problem{"", 0, 0, "the shop has no room '" + changes->back().reading->room + "'",
                                  "one of: " + known, "read the air in a room of the shop"});
  }
  const auto holds = [&](const std::vector<job::Step>& steps) -> Result<void> {
    const auto toml = job::laid_over(base->toml, steps);
    if (!toml) return tl::unexpected(toml.error());
    if (const auto job = job::parse_job(*toml, base->name, **catalog, pieces_of(base->name)); !job) {
      Problem problem = job.error().front();
      problem.file.clear();  // lines are those of the job with its changes, not of the file
      problem.line = problem.column = 0;
      return tl::unexpected(problem);
    }
    return {};
  };
  std::vector<job::Step> steps = job::standing(*changes);
  if (auto held = holds(steps); !held) return held;
  // What is kept beside must be fit to be chosen one day.
  if (changes->back().contested) {
    steps.emplace_back(*changes->back().put);
    return holds(steps);
  }
  return {};
}

Results<std::string> pin_body(ledger::Ledger& ledger, const PinAsked& asked, const std::string& now,
                              const Context& context) {
  auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  const auto latest = ledger.latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value())
    return one(Problem{"", 0, 0, "there is no plan yet", "a plan with steps", "take a piece in first"});
  const auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  const auto here = parse_instant(now);
  if (!here) return one(here.error());
  const plan::PlannedStep* step = nullptr;
  for (const plan::PlannedPiece& piece : plan->pieces)
    for (const plan::PlannedStep& line : piece.schedule)
      if (line.id == asked.step) step = &line;
  plan::Pin pin{asked.step, asked.start, plan::mark_of((*latest)->plan_json, asked.step)};
  PlanArgs args = standing->args;
  const bool on_page = set_up_on_page(standing->name);
  if (on_page) {
    args.asked_at = rolling_start(standing->log, now);
    args.not_before = now;
  }
  const auto kept = pin_text(standing->toml, standing->name, args, standing->log, context, *plan, pin, *here,
                             pieces_of(standing->name));
  if (!kept) return tl::unexpected(kept.error());
  job::PinStep stored{asked.step, pin.mark, asked.start ? to_iso(*asked.start) : ""};
  const std::optional<Instant> stands = step && step->pinned ? std::optional(step->pinned->start) : std::nullopt;
  stored.beside = asked.seen && *asked.seen != stands && stands != asked.start;
  return job::to_json(stored);
}

Results<plan::Helps> sooner_stored(ledger::Ledger& ledger, const Context& context,
                                   const std::function<bool(int, int)>& between) {
  const auto job = standing_job(ledger, context);
  if (!job) return tl::unexpected(job.error());
  auto helped = sooner_text(job->toml, job->name, job->args, job->log, context, between);
  if (!helped) return tl::unexpected(helped.error());
  return std::move(helped->helps);
}

Results<plan::Plan> replan_and_store(ledger::Ledger& ledger, const std::string& now, const Context& context) {
  const auto base = base_of(ledger, context);
  if (!base) return tl::unexpected(base.error());
  return plan_and_store(ledger, base->toml, base->name, base->args, now, context);
}

}  // namespace tackcloth::cli
