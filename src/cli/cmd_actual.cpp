// actual: what each piece was planned to take, what it took, and what an hour then paid.
#include <fmt/format.h>

#include <iostream>
#include <memory>

#include "cli/actual_json.h"
#include "cli/stored_actuals.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct ActualCommand {
  std::string data = "tackcloth.db", piece;
  bool json = false;
};

void print(const plan::PieceActual& piece, const std::string& currency) {
  const plan::ActualHours& all = piece.all;
  std::cout << piece.name << (piece.owner.empty() ? "" : ", for " + piece.owner)
            << (piece.handed_over ? ", handed over " + to_iso(*piece.handed_over).substr(0, 10) : "") << "\n";
  std::cout << fmt::format("    {:<24} {:>9} {:>9} {:>9} {:>9}\n", "hours", "planned", "timed", "of planned",
                           "untimed");
  const auto line = [](const std::string& name, const plan::ActualHours& hours) {
    std::cout << fmt::format("    {:<24} {:>9.1f} {:>9} {:>10} {:>9}\n", name, hours.planned_min / 60,
                             hours.timed > 0 ? fmt::format("{:.1f}", hours.took_min / 60) : "unknown",
                             hours.timed > 0 ? fmt::format("{:.1f}", hours.timed_planned_min / 60) : "",
                             hours.done > hours.timed ? std::to_string(hours.done - hours.timed) : "");
  };
  for (const plan::ActualHours& kind : piece.kinds)
    if (kind.done > 0) line(kind.kind, kind);
  line("all steps", all);
  if (all.done > all.timed)
    std::cout << fmt::format(
        "    Of {} {} done nobody told the time: unknown, not nothing. The plan had {:.1f} h for {}.\n",
        all.done - all.timed, all.done - all.timed == 1 ? "step" : "steps", all.untimed_planned_min / 60,
        all.done - all.timed == 1 ? "it" : "them");
  if (all.done < all.steps)
    std::cout << "    " << all.steps - all.done << " of " << all.steps << " steps are to come.\n";
  std::cout << "    Materials: planned " << to_text(piece.materials_planned) << ", bought "
            << (piece.materials_bought ? to_text(*piece.materials_bought) : "unknown") << " " << currency << "\n";
  const auto paid = [](const materials::Offer& offer) {
    return offer.per_hour ? to_text(*offer.per_hour) : std::string("nothing known");
  };
  std::cout << "    " << (piece.agreed ? "Agreed " : "Priced by the plan, nothing agreed: ")
            << to_text(piece.planned.total) << " " << currency << ". An hour pays " << paid(piece.as_it_went)
            << (piece.hours_known ? "" : ", as far as is told and with the plan's hours for the rest")
            << "; planned was " << paid(piece.planned) << ".\n";
}

Results<void> actual(const ActualCommand& command, Context& context) {
  const auto stored = stored_actuals(command.data, context);
  if (!stored) return tl::unexpected(stored.error());
  ordered_json pieces = ordered_json::array();
  std::string known;
  bool found = false;
  for (const plan::PieceActual& piece : stored->pieces) {
    known += (known.empty() ? "" : ", ") + piece.id;
    if (!command.piece.empty() && piece.id != command.piece) continue;
    found = true;
    if (command.json)
      pieces.push_back(actual_json(piece));
    else
      print(piece, stored->currency);
  }
  if (!command.piece.empty() && !found)
    return tl::unexpected(std::vector<Problem>{{"", 0, 0, "there is no piece '" + command.piece.substr(0, 60) + "'",
                                                known.empty() ? "a piece" : "one of: " + known, "check the id"}});
  if (command.json)
    std::cout << ordered_json{{"currency", stored->currency}, {"pieces", pieces}}.dump(2) << "\n";
  else if (stored->pieces.empty())
    std::cout << "There is no piece yet.\n";
  return {};
}

}  // namespace

void add_actual(CLI::App& app, Context& context) {
  auto command = std::make_shared<ActualCommand>();
  CLI::App* sub = app.add_subcommand("actual", "Planned against told: hours by kind, materials, what an hour paid");
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  sub->add_option("--piece", command->piece, "id of the piece; left out: all");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] {
    if (const auto done = actual(*command, context); !done) context.exit_code = report(done.error());
  });
}

}  // namespace tackcloth::cli
