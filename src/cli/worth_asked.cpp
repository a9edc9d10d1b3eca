#include "cli/worth_asked.h"

#include <charconv>
#include <tuple>

#include "cli/arguments.h"
#include "piece/words.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

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

ordered_json span(const plan::Span3& s) { return {{"p10", s.p10}, {"p50", s.p50}, {"p90", s.p90}}; }
ordered_json span(const plan::MoneySpan& s) {
  return {{"p10", to_text(s.p10)}, {"p50", to_text(s.p50)}, {"p90", to_text(s.p90)}};
}

}  // namespace

Results<WorthRead> candidate_of(const WorthAsked& command, const std::string& dashes) {
  WorthRead read;
  plan::Candidate& c = read.candidate;
  std::vector<Problem> problems;
  for (const auto& [option, text, into] :
       {std::tuple("width", &command.width, &c.width_mm), std::tuple("height", &command.height, &c.height_mm),
        std::tuple("depth", &command.depth, &c.depth_mm)}) {
    if (text->empty())
      problems.push_back({"", 0, 0, dashes + option + " is missing",
                          "five measures: width, height, depth, the "
                          "number of drawers and doors, and the damaged area",
                          "measure it, as \"90 cm\""});
    else
      take((dashes + option).c_str(), *text, units::parse_length_mm, *into, problems);
  }
  take((dashes + "damage").c_str(), command.damage, units::parse_area_m2, c.damage_m2, problems);
  c.fronts = std::max(command.fronts, 0);
  c.veneered = !command.solid;
  take_word((dashes + "existing").c_str(), command.existing, piece::existing_words(), c.existing, problems);
  take_word((dashes + "wanted").c_str(), command.wanted, piece::treatment_words(), c.wanted, problems);
  if (!command.year.empty() && command.year != "unknown") {
    int year = 0;
    const char* end = command.year.data() + command.year.size();
    const auto [stop, error] = std::from_chars(command.year.data(), end, year);
    if (error != std::errc() || stop != end || year < 1000 || year > 2200)
      problems.push_back(
          about((dashes + "year").c_str(), {"", 0, 0, "'" + command.year.substr(0, 40) + "' is no year",
                                            "a year, as 1936, or unknown", "say unknown when in doubt"}));
    else
      c.year = year;
  }
  if (!command.market.empty()) {
    const auto market = parse_money(command.market);
    if (market)
      read.market = *market;
    else
      problems.push_back(about((dashes + "market").c_str(), market.error()));
  }
  if (!problems.empty()) return tl::unexpected(problems);
  return read;
}

ordered_json worth_json(const plan::Worth& worth, const job::Shop& shop) {
  ordered_json hazards = ordered_json::array();
  for (const catalog::Finding& finding : worth.hazards)
    hazards.push_back({{"rule", finding.rule},
                       {"severity", catalog::to_text(finding.severity)},
                       {"reason", finding.reason},
                       {"mend", finding.mend},
                       {"source", finding.source}});
  const auto verdict = plan::verdict(worth, shop.hourly_rate);
  return {{"hours", span(worth.hours)},
          {"days", span(worth.days)},
          {"materials", span(worth.materials)},
          {"break_even", span(worth.break_even)},
          {"from_cost", span(worth.from_cost)},
          {"per_hour", worth.per_hour ? span(*worth.per_hour) : ordered_json(nullptr)},
          {"verdict", verdict ? ordered_json(plan::to_text(*verdict)) : ordered_json(nullptr)},
          {"readings", worth.readings},
          {"hazards", hazards},
          {"currency", shop.currency}};
}

}  // namespace tackcloth::cli
