#include <cmath>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_text.h"
#include "cli/problems.h"
#include "cli/stored_plan.h"
#include "cli/what_moved.h"
#include "plan/step_mark.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct LogCommand {
  std::string data = "tackcloth.db", step, what, when, note, key, took;
  bool json = false;
};

bool has_step(const plan::Plan& plan, const std::string& step) {
  for (const auto& piece : plan.pieces) {
    for (const auto& line : piece.schedule) {
      if (line.id == step) return true;
    }
  }
  return false;
}

// An entry stored, and the plan it led to.
struct Appended {
  ordered_json json;
  std::string text;
};

Results<Appended> append(const LogCommand& command, const Context& context) {
  const Instant now = wall_clock();
  Instant when = now;
  if (!command.when.empty()) {
    const auto read = parse_instant(command.when);
    if (!read) return one(read.error());
    when = *read;
  }
  if (when > now) {
    return one(problem_of("--when is in the future", "a time not after " + to_iso(now),
                          "log what has happened, not what will"));
  }
  int took_min = 0;
  if (!command.took.empty()) {
    const auto hours = units::parse_duration_h(command.took);
    if (!hours) return one(about("--took", hours.error()));
    if (command.what != "done" && command.what != "lead_negative" && command.what != "lead_positive") {
      return one(problem_of("--took is the hands-on time of the whole step", "it goes with done, or with a lead test",
                            "tell it when the step is done"));
    }
    if (!(*hours * 60 >= 0.5) || *hours * 60 > ledger::kLongestStepMin) {
      return one(problem_of("--took is '" + command.took.substr(0, 40) + "'", "1 min to 500 h", "check the figure"));
    }
    took_min = static_cast<int>(std::lround(*hours * 60));
  }
  auto ledger = ledger::open(command.data);
  if (!ledger) return one(ledger.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value()) {
    return one(problem_of("there is no plan in '" + command.data + "'", "a stored plan",
                          "start with tackcloth serve --job JOB.toml --data " + command.data));
  }
  const auto before = plan::from_json((*latest)->plan_json);
  if (!before) return one(before.error());
  if (!has_step(*before, command.step)) {
    return one(problem_of("the plan has no step '" + command.step + "'", "an id such as P1-03",
                          "take it from the page or from tackcloth plan"));
  }
  // Without --key, the same words for the same minute are the same entry.
  const std::string key =
      command.key.empty() ? "cli " + command.step + " " + command.what + " " + to_iso(when) : command.key;
  const auto id = (*ledger)->add_entry({0, key, to_iso(when), command.step, command.what, command.note,
                                        plan::mark_of((*latest)->plan_json, command.step), took_min});
  if (!id) return one(id.error());
  const auto after = replan_and_store(**ledger, to_iso(now), context);
  if (!after) return tl::unexpected(after.error());
  const ordered_json moved = what_moved(*before, *after);
  ordered_json answer{{"id", *id},
                      {"key", key},
                      {"when", to_iso(when)},
                      {"step", command.step},
                      {"what", command.what},
                      {"took_min", took_min > 0 ? ordered_json(took_min) : ordered_json(nullptr)},
                      {"finish", to_iso(after->finish)},
                      {"moved", moved},
                      {"taught", ordered_json::parse(plan::to_json(*after)).at("taught")}};
  return Appended{std::move(answer), moved_text(moved) + taught_text(*after)};
}

}  // namespace

void add_log(CLI::App& app, Context& context) {
  auto command = std::make_shared<LogCommand>();
  CLI::App* sub = app.add_subcommand("log", "Say what happened at the bench; the plan moves");
  sub->add_option("step", command->step, "id of the step, such as P1-03")->required();
  sub->add_option("what", command->what, "what happened")->required()->check(CLI::IsMember(plan::log_words()));
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  sub->add_option("--when", command->when, "2026-03-04T17:30; now, if not given");
  sub->add_option("--took", command->took, "hands-on time of the whole step, with done: 45min, 1.5 h");
  sub->add_option("--note", command->note, "in your own words");
  sub->add_option("--key", command->key, "entries with the same key are stored once");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] {
    const auto done = append(*command, context);
    if (!done) {
      context.exit_code = report(done.error());
      return;
    }
    std::cout << (command->json ? done->json.dump(2) + "\n" : done->text);
  });
}

}  // namespace tackcloth::cli
