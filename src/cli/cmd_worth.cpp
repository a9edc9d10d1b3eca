// worth: is this piece worth taking on? Asked before it is bought or accepted.
#include <fmt/format.h>

#include <iostream>
#include <memory>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_job.h"
#include "cli/worth_asked.h"
#include "reading/table.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

struct WorthCommand : WorthAsked {
  std::string file, shop;
  bool json = false;
  PlanArgs args;
};

// What the file says goes where the command line says nothing.
std::vector<Problem> fill_in(WorthCommand& command) {
  auto document = reading::Document::open(command.file);
  if (!document) return {document.error()};
  reading::Table root = (*document)->root();
  for (const auto& [key, into] :
       {std::pair("width", &command.width), std::pair("height", &command.height), std::pair("depth", &command.depth),
        std::pair("damage", &command.damage), std::pair("existing", &command.existing),
        std::pair("wanted", &command.wanted), std::pair("market", &command.market)}) {
    const auto text = root.text(key);
    if (text && into->empty()) *into = *text;
  }
  root.known("year");
  if (root.is_text("year")) {
    if (command.year.empty()) command.year = *root.text("year");
  } else if (const auto year = root.integer("year", 1000, 2200); year && command.year.empty()) {
    command.year = std::to_string(*year);
  }
  if (const auto fronts = root.integer("fronts", 0, 60); fronts && command.fronts < 0)
    command.fronts = static_cast<int>(*fronts);
  if (const auto solid = root.boolean("solid_wood")) command.solid = command.solid || *solid;
  root.finish();
  return (*document)->problems();
}

void print(const plan::Worth& worth, const std::string& currency, Money rate) {
  const auto number_row = [](const char* what, const plan::Span3& s, const char* unit) {
    std::cout << fmt::format("{:<26} {:>9.1f}   {:.1f} to {:.1f} {}\n", what, s.p50, s.p10, s.p90, unit);
  };
  const auto money_row = [&](const char* what, const plan::MoneySpan& s) {
    std::cout << fmt::format("{:<26} {:>9}   {} to {} {}\n", what, to_text(s.p50), to_text(s.p10), to_text(s.p90),
                             currency);
  };
  number_row("Bench hours", worth.hours, "h");
  number_row("Days, free hours as now", worth.days, "days");
  money_row("Materials, bought for 90 %", worth.materials);
  money_row("Nothing is left at", worth.break_even);
  money_row("Price from cost", worth.from_cost);
  if (worth.per_hour) {
    money_row("An hour then pays", *worth.per_hour);
    const plan::Verdict said = *plan::verdict(worth, rate);
    std::cout << (said == plan::Verdict::yes  ? "Worth it: even a hard one pays the shop's rate.\n"
                  : said == plan::Verdict::no ? "Not worth it: even an easy one pays less than the shop's rate.\n"
                                              : "It may pay the shop's rate, or not: look closer before you agree.\n");
  }
  std::cout << "The bands hold four times in five, over what the piece may be:";
  for (const std::string& reading : worth.readings)
    std::cout << (&reading == &worth.readings.front() ? " " : "; ") << reading;
  std::cout << ".\n";
  for (const catalog::Finding& finding : worth.hazards)
    std::cout << (finding.severity == catalog::Severity::must_not ? "MUST NOT: " : "Caution: ") << finding.reason << " "
              << finding.mend << "\n";
  std::cout << "Not seen from outside: loose joints, worms, old repairs. Local codes and licensed practice decide.\n";
}

Results<void> worth(WorthCommand& command, Context& context) {
  if (!command.file.empty())
    if (auto problems = fill_in(command); !problems.empty()) return tl::unexpected(std::move(problems));
  const auto read = candidate_of(command, "--");
  if (!read) return tl::unexpected(read.error());
  command.args.asked_at = to_iso(wall_clock());
  const auto at = shop_asked(command.shop, command.args, context);
  if (!at) return tl::unexpected(at.error());
  const auto judged = plan::worth_of(read->candidate, at->job.shop, at->world, at->options, read->market);
  if (!judged) return tl::unexpected(judged.error());
  if (!command.json) {
    print(*judged, at->job.shop.currency, at->job.shop.hourly_rate);
    return {};
  }
  std::cout << worth_json(*judged, at->job.shop).dump(2) << "\n";
  return {};
}

}  // namespace

void add_worth(CLI::App& app, Context& context) {
  auto command = std::make_shared<WorthCommand>();
  CLI::App* sub =
      app.add_subcommand("worth", "Worth taking on? Hours, materials, days, hazards and price before buying");
  sub->add_option("file", command->file, "the measures and answers as TOML; flags go first");
  sub->add_option("--shop", command->shop, "a job file: its shop, rates and rooms count")->required();
  sub->add_option("--width", command->width, "90cm, or 35 1/2 in");
  sub->add_option("--height", command->height, "as above");
  sub->add_option("--depth", command->depth, "as above");
  sub->add_option("--fronts", command->fronts, "number of drawers and doors")->check(CLI::Range(0, 60));
  sub->add_option("--damage", command->damage, "damaged area, 0.1m2");
  sub->add_option("--year", command->year, "1936, or unknown");
  sub->add_option("--existing", command->existing, "the finish on it, or unknown");
  sub->add_option("--wanted", command->wanted, "clear, stain_and_clear, paint, oil or wax");
  sub->add_flag("--solid-wood", command->solid, "known not to be veneered");
  sub->add_option("--market", command->market, "what a buyer would pay in all, tax included");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] {
    if (const auto done = worth(*command, context); !done) context.exit_code = report(done.error());
  });
}

}  // namespace tackcloth::cli
