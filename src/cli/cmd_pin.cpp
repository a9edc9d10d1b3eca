// pin: a step of the stored plan to an hour, or let go again.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/problems.h"
#include "cli/stored_plan.h"
#include "cli/what_moved.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct PinCommand {
  std::string data = "tackcloth.db", step, at, key;
  bool loose = false, json = false;
};

struct Done {
  ordered_json json;
  std::string text;
};

Results<Done> pin(const PinCommand& command, const Context& context) {
  const std::string now = to_iso(wall_clock());
  PinAsked asked{command.step, {}, {}};
  if (!command.loose) {
    const auto at = parse_instant(command.at);
    if (!at) return one(at.error());
    asked.start = *at;
  }
  auto ledger = ledger::open(command.data);
  if (!ledger) return one(ledger.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value())
    return one({"", 0, 0, "there is no plan in '" + command.data + "'", "a stored plan",
                "start with tackcloth serve --job JOB.toml --data " + command.data});
  const auto before = plan::from_json((*latest)->plan_json);
  if (!before) return one(before.error());
  const auto body = pin_body(**ledger, asked, now, context);
  if (!body) return tl::unexpected(body.error());
  // Without --key the same pin in the same minute is the same change.
  const std::string at = asked.start ? to_iso(*asked.start) : "loose";
  const std::string key = command.key.empty() ? "cli pin " + command.step + " " + at + " " + now : command.key;
  const auto id = (*ledger)->add_change({0, key, now, *body});
  if (!id) return one(id.error());
  const auto after = replan_and_store(**ledger, now, context);
  if (!after) return tl::unexpected(after.error());
  const ordered_json moved = what_moved(*before, *after);
  Done done{{{"id", *id}, {"key", key}, {"step", command.step}}, moved_text(moved)};
  done.json["start"] = asked.start ? ordered_json(at) : ordered_json();
  done.json["finish"] = to_iso(after->finish);
  done.json["moved"] = moved;
  return done;
}

}  // namespace

void add_pin(CLI::App& app, Context& context) {
  auto command = std::make_shared<PinCommand>();
  CLI::App* sub = app.add_subcommand("pin", "Pin a step of the stored plan to an hour, or let it go; the plan moves");
  sub->add_option("step", command->step, "id of the step, such as P1-03")->required();
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  CLI::Option_group* hour = sub->add_option_group("hour");
  hour->add_option("--at", command->at, "2026-03-04T17:30");
  hour->add_flag("--loose", command->loose, "let the step go again");
  hour->require_option(1);
  sub->add_option("--key", command->key, "pins with the same key are stored once");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] {
    const auto done = pin(*command, context);
    if (!done) {
      context.exit_code = report(done.error());
      return;
    }
    std::cout << (command->json ? done->json.dump(2) + "\n" : done->text);
  });
}

}  // namespace tackcloth::cli
