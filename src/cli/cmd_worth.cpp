// worth: is this piece worth taking on? Asked before it is bought or accepted.
#include <fmt/format.h>

#include <charconv>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_job.h"
#include "piece/words.h"
#include "plan/worth.h"
#include "reading/table.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct WorthCommand {
  std::string file, shop, width, height, depth, damage, year, existing, wanted, market;
  int fronts = -1;
  bool solid = false, json = false;
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

template <class T>
void take_word(const char* option, const std::string& word, const std::vector<std::string>& words, T& into,
               std::vector<Problem>& problems) {
  if (word.empty()) return;
  for (std::size_t i = 0; i < words.size(); ++i)
    if (words[i] == word) {
      into = static_cast<T>(i);
      return;
    }
  std::string all;
  for (const std::string& one : words) all += (all.empty() ? "" : ", ") + one;
  problems.push_back(
      about(option, {"", 0, 0, "'" + word.substr(0, 40) + "' is not known", "one of: " + all, "take the nearest"}));
}

Results<plan::Candidate> candidate_of(const WorthCommand& command) {
  plan::Candidate c;
  std::vector<Problem> problems;
  for (const auto& [option, text, into] :
       {std::tuple("--width", &command.width, &c.width_mm), std::tuple("--height", &command.height, &c.height_mm),
        std::tuple("--depth", &command.depth, &c.depth_mm)}) {
    if (text->empty())
      problems.push_back({"", 0, 0, std::string(option) + " is missing",
                          "five measures: width, height, depth, the "
                          "number of drawers and doors, and the damaged area",
                          "measure it, as \"90 cm\""});
    else
      take(option, *text, units::parse_length_mm, *into, problems);
  }
  take("--damage", command.damage, units::parse_area_m2, c.damage_m2, problems);
  c.fronts = std::max(command.fronts, 0);
  c.veneered = !command.solid;
  take_word("--existing", command.existing, piece::existing_words(), c.existing, problems);
  take_word("--wanted", command.wanted, piece::treatment_words(), c.wanted, problems);
  if (!command.year.empty() && command.year != "unknown") {
    int year = 0;
    const char* end = command.year.data() + command.year.size();
    const auto [stop, error] = std::from_chars(command.year.data(), end, year);
    if (error != std::errc() || stop != end || year < 1000 || year > 2200)
      problems.push_back(about("--year", {"", 0, 0, "'" + command.year.substr(0, 40) + "' is no year",
                                          "a year, as 1936, or unknown", "say unknown when in doubt"}));
    else
      c.year = year;
  }
  if (!problems.empty()) return tl::unexpected(problems);
  return c;
}

ordered_json span(const plan::Span3& s) { return {{"p10", s.p10}, {"p50", s.p50}, {"p90", s.p90}}; }
ordered_json span(const plan::MoneySpan& s) {
  return {{"p10", to_text(s.p10)}, {"p50", to_text(s.p50)}, {"p90", to_text(s.p90)}};
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
    std::cout << (worth.per_hour->p10 >= rate  ? "Worth it: even a hard one pays the shop's rate.\n"
                  : worth.per_hour->p90 < rate ? "Not worth it: even an easy one pays less than the shop's rate.\n"
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
  const auto one = [](Problem problem) { return tl::unexpected(std::vector<Problem>{std::move(problem)}); };
  if (!command.file.empty())
    if (auto problems = fill_in(command); !problems.empty()) return tl::unexpected(std::move(problems));
  const auto candidate = candidate_of(command);
  if (!candidate) return tl::unexpected(candidate.error());
  std::optional<Money> market;
  if (!command.market.empty()) {
    const auto read = parse_money(command.market);
    if (!read) return one(about("--market", read.error()));
    market = *read;
  }
  command.args.asked_at = to_iso(wall_clock());
  const auto at = shop_asked(command.shop, command.args, context);
  if (!at) return tl::unexpected(at.error());
  const auto judged = plan::worth_of(*candidate, at->job.shop, at->world, at->options, market);
  if (!judged) return tl::unexpected(judged.error());
  if (!command.json) {
    print(*judged, at->job.shop.currency, at->job.shop.hourly_rate);
    return {};
  }
  ordered_json hazards = ordered_json::array();
  for (const catalog::Finding& finding : judged->hazards)
    hazards.push_back({{"rule", finding.rule},
                       {"severity", catalog::to_text(finding.severity)},
                       {"reason", finding.reason},
                       {"mend", finding.mend},
                       {"source", finding.source}});
  std::cout << ordered_json{{"hours", span(judged->hours)},
                            {"days", span(judged->days)},
                            {"materials", span(judged->materials)},
                            {"break_even", span(judged->break_even)},
                            {"from_cost", span(judged->from_cost)},
                            {"per_hour", judged->per_hour ? span(*judged->per_hour) : ordered_json(nullptr)},
                            {"readings", judged->readings},
                            {"hazards", hazards},
                            {"currency", at->job.shop.currency}}
                   .dump(2)
            << "\n";
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
