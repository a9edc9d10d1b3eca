#include "cli/plan_job.h"

#include <algorithm>
#include <chrono>
#include <filesystem>

#include "cli/bench_history.h"
#include "cli/problems.h"
#include "look/view.h"

namespace tackcloth::cli {

namespace fs = std::filesystem;

// A quarter of a second or so on a plan of five pieces.
constexpr std::int64_t kProofConflicts = 300;

namespace {

// Everything a plan is made from.
struct Asked {
  plan::World world;
  plan::Options options;
};

Results<Asked> asked_of(const job::Job& job, const std::string& job_path, const PlanArgs& args,
                        const std::vector<plan::LogEntry>& log, const Loaded& loaded) {
  plan::World world{loaded.catalog.get(), loaded.film.get(), loaded.finisher.get(), std::nullopt};
  std::string weather = args.weather;
  if (weather.empty() && !job.shop.weather_file.empty())
    weather = (fs::path(job_path).parent_path() / job.shop.weather_file).string();
  if (!weather.empty()) {
    auto read = weather.ends_with(".csv") ? climate::read_forecast_csv(weather) : climate::read_epw(weather);
    if (!read) return one(read.error());
    world.weather = std::move(*read);
  }
  if (!job.shop.outdoors.empty()) {
    if (!world.weather) world.weather.emplace();
    world.weather->days = job.shop.outdoors;
  }
  plan::Options options;
  options.seed = args.seed;
  options.threads = args.threads;
  options.proof_conflicts = kProofConflicts;
  options.log = log;
  options.pins = args.pins;
  options.stock = args.stock;
  if (!args.not_before.empty()) {
    const auto not_before = parse_instant(args.not_before);
    if (!not_before) return one(not_before.error());
    options.not_before = *not_before;
  }
  auto history = bench_history(args.learn, *loaded.catalog);
  if (!history) return tl::unexpected(history.error());
  options.history = std::move(history->looks);
  options.pace_history = std::move(history->paces);
  options.own_pace = !args.table_pace;
  if (args.prefer == "cheapest") options.prefer = finish::Prefer::cheapest;
  if (!args.start.empty()) {
    const auto start = parse_instant(args.start);
    if (!start) return one(start.error());
    options.start = *start;
  } else if (!job.start && !args.asked_at.empty()) {
    const auto now = parse_instant(args.asked_at);
    if (now) options.start = *now;
  }
  return Asked{std::move(world), std::move(options)};
}

Results<plan::Plan> plan_read(const job::Job& job, const std::string& job_path, const PlanArgs& args,
                              const std::vector<plan::LogEntry>& log, const Loaded& loaded) {
  const auto asked = asked_of(job, job_path, args, log, loaded);
  if (!asked) return tl::unexpected(asked.error());
  return plan::make_plan(job, asked->world, asked->options);
}

Results<Helped> helped(const job::Job& job, const std::string& job_path, const PlanArgs& args,
                       const std::vector<plan::LogEntry>& log, const Loaded& loaded,
                       const std::function<bool(int, int)>& between) {
  const auto asked = asked_of(job, job_path, args, log, loaded);
  if (!asked) return tl::unexpected(asked.error());
  auto base = plan::make_plan(job, asked->world, asked->options);
  if (!base) return tl::unexpected(base.error());
  auto helps = plan::what_would_help(job, asked->world, asked->options, *base, between);
  if (!helps) return tl::unexpected(helps.error());
  return Helped{std::move(*base), std::move(*helps)};
}

}  // namespace

Results<Planned> planned_job(const std::string& job_path, const PlanArgs& args, const Context& context) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::read_job(job_path, *(*loaded)->catalog);
  if (!job) return tl::unexpected(job.error());
  auto plan = plan_read(*job, job_path, args, {}, **loaded);
  if (!plan) return tl::unexpected(plan.error());
  return Planned{std::move(*loaded), std::move(*job), std::move(*plan)};
}

namespace {

Results<ShopAsked> shop_of(std::unique_ptr<const Loaded> loaded, Results<job::Job> job, const std::string& name,
                           const PlanArgs& args) {
  if (!job) return tl::unexpected(job.error());
  auto asked = asked_of(*job, name, args, {}, *loaded);
  if (!asked) return tl::unexpected(asked.error());
  if (!asked->options.start) asked->options.start = job->start;
  return ShopAsked{std::move(loaded), std::move(*job), std::move(asked->world), std::move(asked->options)};
}

}  // namespace

Results<ShopAsked> shop_asked(const std::string& job_path, const PlanArgs& args, const Context& context) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::read_job(job_path, *(*loaded)->catalog);
  return shop_of(std::move(*loaded), std::move(job), job_path, args);
}

Results<ShopAsked> shop_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                             const Context& context) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::parse_job(toml, name, *(*loaded)->catalog, job::Pieces::may_be_none);
  return shop_of(std::move(*loaded), std::move(job), name, args);
}

Result<std::vector<std::size_t>> pieces_asked(const Planned& planned, const std::string& id) {
  std::vector<std::size_t> asked;
  std::string known;
  for (std::size_t p = 0; p < planned.plan.pieces.size(); ++p) {
    const std::string& one = planned.plan.pieces[p].id;
    if (id.empty() || one == id) asked.push_back(p);
    known += (known.empty() ? "" : ", ") + one;
  }
  if (asked.empty())
    return tl::unexpected(Problem{planned.job.file, 0, 0, "there is no piece '" + id.substr(0, 60) + "' in this job",
                                  "one of: " + known, "take the id from the job file"});
  return asked;
}

Results<plan::Plan> plan_job(const std::string& job_path, const PlanArgs& args, const Context& context) {
  auto planned = planned_job(job_path, args, context);
  if (!planned) return tl::unexpected(planned.error());
  return std::move(planned->plan);
}

Results<plan::Plan> plan_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                              const std::vector<plan::LogEntry>& log, const Context& context, job::Pieces pieces) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::parse_job(toml, name, *(*loaded)->catalog, pieces);
  if (!job) return tl::unexpected(job.error());
  return plan_read(*job, name, args, log, **loaded);
}

Results<void> pin_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                       const std::vector<plan::LogEntry>& log, const Context& context, const plan::Plan& standing,
                       const plan::Pin& pin, Instant now, job::Pieces pieces) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::parse_job(toml, name, *(*loaded)->catalog, pieces);
  if (!job) return tl::unexpected(job.error());
  const auto asked = asked_of(*job, name, args, log, **loaded);
  if (!asked) return tl::unexpected(asked.error());
  return plan::check_pin(*job, asked->world, asked->options, standing, pin, now);
}

Results<Helped> sooner_job(const std::string& job_path, const PlanArgs& args, const Context& context,
                           const std::function<bool(int, int)>& between) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::read_job(job_path, *(*loaded)->catalog);
  if (!job) return tl::unexpected(job.error());
  return helped(*job, job_path, args, {}, **loaded, between);
}

Results<Helped> sooner_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                            const std::vector<plan::LogEntry>& log, const Context& context,
                            const std::function<bool(int, int)>& between) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::parse_job(toml, name, *(*loaded)->catalog);
  if (!job) return tl::unexpected(job.error());
  return helped(*job, name, args, log, **loaded, between);
}

Results<Compared> boards_text(std::string_view toml, const std::string& name, const std::string& piece,
                              const PlanArgs& args, const std::vector<plan::LogEntry>& log, const Context& context,
                              int picture_width, const std::function<bool(int, int)>& between) {
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  auto job = job::parse_job(toml, name, *(*loaded)->catalog);
  if (!job) return tl::unexpected(job.error());
  const auto asked = asked_of(*job, name, args, log, **loaded);
  if (!asked) return tl::unexpected(asked.error());
  const auto palette = palette_of(context);
  if (!palette) return tl::unexpected(palette.error());
  auto boards = look::boards(*job, piece, asked->world, **palette, asked->options, std::max(args.threads, 2), between);
  if (!boards) return tl::unexpected(boards.error());
  Compared compared{std::move(*job), std::move(*boards), {}, {}};
  for (const job::PieceOrder& order : compared.job.pieces) {
    if (order.piece.id != piece) continue;
    const auto views = look::views_of(compared.job, order, picture_width);
    if (!views) {
      compared.notes.push_back(views.error().what);
      compared.pictures.resize(compared.boards.size());
      continue;
    }
    compared.notes = views->front().notes;
    for (const look::Board& board : compared.boards)
      compared.pictures.push_back(look::painted(views->front(), board.zones));
  }
  return compared;
}

void add_plan_options(CLI::App& command, PlanArgs& args) {
  command.add_option("--weather", args.weather, "weather: an EPW file, or a forecast as CSV")->check(CLI::ExistingFile);
  command.add_option("--start", args.start, "first day of work, 2026-03-02 or 2026-03-02T17:00");
  command.add_option("--seed", args.seed, "the same seed gives the same plan");
  command.add_option("--threads", args.threads, "threads for the calendar")->check(CLI::Range(1, 64));
  command.add_option("--learn", args.learn,
                     "bench entries of earlier work to learn from: CSV, or a data file; repeatable");
  command.add_flag("--table-pace", args.table_pace, "hours of the table, not at the shop's own pace");
  command.add_option("--prefer", args.prefer, "coat orders: fastest or cheapest")
      ->check(CLI::IsMember({"fastest", "cheapest"}));
}

}  // namespace tackcloth::cli
