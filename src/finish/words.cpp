#include "finish/words.h"

#include <algorithm>
#include <charconv>

#include "catalog/words.h"
#include "reading/table.h"

namespace tackcloth::finish {
namespace {

using Words = std::vector<std::string>;

struct Entry {
  std::string name;
  Words values;
};

// In the order of enum Word. Value lists are in the order of the enums they stand for.
const std::vector<Entry>& entries() {
  static const Words yes_no = {"no", "yes"};
  const Words& kinds = catalog::kind_words();
  const Words& binders = catalog::binder_words();
  const Words& carriers = catalog::carrier_words();
  static const Words systems = {"neither", "water", "oil"};
  static const Words steps = {
      "lead_test", "wash",     "degrease",    "dry_out",    "scrape_glue",    "strip",       "neutralize",
      "sand",      "dust_off", "spirit_wipe", "repair",     "fill",           "grain_fill",  "stain",
      "barrier",   "seal",     "prime",       "mask",       "paint",          "clear",       "oil",
      "wax",       "scuff",    "metal_clean", "metal_coat", "fabric_dry_fit", "fabric_glue", "test_board",
      "wait",      "take_in",  "take_apart",  "put_back",   "inspect",        "hand_over",   "end"};
  static const std::vector<Entry> all = {
      {"step", steps},
      {"lays", yes_no},
      {"material", {"solid_wood", "veneer", "laminate", "metal", "fabric", "board"}},
      {"surface", {"bare", "old", "film"}},
      {"existing",
       {"bare", "unknown", "shellac", "lacquer", "varnish", "oil", "wax", "paint_oil", "paint_water", "laminate",
        "bare_metal"}},
      {"old_finish", yes_no},
      {"lead", {"none", "untested", "tested"}},
      {"grime", yes_no},
      {"grease", yes_no},
      {"wax", yes_no},
      {"glue", yes_no},
      {"dust", yes_no},
      {"moist", yes_no},
      {"residue", yes_no},
      {"spirits", yes_no},
      {"stubborn", yes_no},
      {"interior", yes_no},
      {"sandable", yes_no},
      {"open_pored", yes_no},
      {"pores_filled", yes_no},
      {"damage", yes_no},
      {"tannin_open", yes_no},
      {"thin", {"no", "no_coarse", "scuff_only"}},
      {"over_budget", yes_no},
      {"grit", {}},
      {"grit_ratio", {}},
      {"first_sand", yes_no},
      {"coarse_start", yes_no},
      {"sanded_enough", yes_no},
      {"scuff_due", yes_no},
      {"wait_short", yes_no},
      {"crossing", yes_no},
      {"window_closed", yes_no},
      {"kind", kinds},
      {"binder", binders},
      {"carrier", carriers},
      {"system", systems},
      {"top_kind", kinds},
      {"top_binder", binders},
      {"top_carrier", carriers},
      {"top_system", systems},
      {"same_product", yes_no},
      {"primed", yes_no},
      {"metal_clean", yes_no},
      {"dry_fit", yes_no},
      {"test_board", yes_no},
      {"wiped", yes_no},
      {"fresh_below", yes_no},
      {"thickness_ratio", {}},
      {"method_known", yes_no},
  };
  return all;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

Problem bad(std::string what, std::string expected, std::string remedy) {
  Problem problem;
  problem.what = std::move(what);
  problem.expected = std::move(expected);
  problem.remedy = std::move(remedy);
  return problem;
}

std::string joined(const Words& words) {
  std::string out;
  for (const auto& word : words) out += (out.empty() ? "" : ", ") + word;
  return out;
}

}  // namespace

std::string_view name(Word word) { return entries()[static_cast<std::size_t>(word)].name; }

const std::vector<std::string>& vocabulary(Word word) { return entries()[static_cast<std::size_t>(word)].values; }

Word find_word(std::string_view text) {
  const auto& all = entries();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].name == text) return static_cast<Word>(i);
  }
  return Word::count;
}

Result<Condition> read_condition(const std::string& word, const std::string& value) {
  Condition condition;
  condition.word = find_word(word);
  if (condition.word == Word::count) {
    Words names;
    for (const auto& entry : entries()) names.push_back(entry.name);
    const auto near = reading::nearest(word, names);
    return tl::unexpected(bad("'" + word + "' is not a word a rule can ask about", "one of " + joined(names),
                              near ? "did you mean '" + *near + "'?" : "see docs/finish.md"));
  }
  std::string_view text = trimmed(value);
  const Words& known = vocabulary(condition.word);
  if (known.empty()) {
    if (text.starts_with(">=")) {
      condition.op = Condition::Op::at_least;
      text.remove_prefix(2);
    } else if (text.starts_with(">")) {
      condition.op = Condition::Op::above;
      text.remove_prefix(1);
    } else if (text.starts_with("<")) {
      condition.op = Condition::Op::below;
      text.remove_prefix(1);
    } else {
      return tl::unexpected(bad("'" + value + "' does not compare '" + word + "' with a number",
                                "> number, >= number or < number", "write it as \"> 1.5\""));
    }
    text = trimmed(text);
    double number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || end != text.data() + text.size()) {
      return tl::unexpected(
          bad("'" + std::string(text) + "' is not a number", "a number after > or <", "write it as \"> 1.5\""));
    }
    condition.values.push_back(number);
    return condition;
  }
  if (text.starts_with("not ")) {
    condition.op = Condition::Op::none_of;
    text.remove_prefix(4);
  }
  while (true) {
    const auto bar = text.find('|');
    const std::string one(trimmed(text.substr(0, bar)));
    const auto found = std::find(known.begin(), known.end(), one);
    if (found == known.end()) {
      const auto near = reading::nearest(one, known);
      return tl::unexpected(bad("'" + one + "' is not a value of '" + word + "'", "one of " + joined(known),
                                near ? "did you mean '" + *near + "'?" : "see docs/finish.md"));
    }
    condition.values.push_back(static_cast<double>(found - known.begin()));
    if (bar == std::string_view::npos) break;
    text.remove_prefix(bar + 1);
  }
  return condition;
}

bool holds(const Condition& condition, const Facts& facts) {
  const double fact = at(facts, condition.word);
  if (fact == kAbsent) return false;
  const auto& values = condition.values;
  switch (condition.op) {
    case Condition::Op::any_of:
      return std::find(values.begin(), values.end(), fact) != values.end();
    case Condition::Op::none_of:
      return std::find(values.begin(), values.end(), fact) == values.end();
    case Condition::Op::above:
      return fact > values.front();
    case Condition::Op::below:
      return fact < values.front();
    case Condition::Op::at_least:
      return fact >= values.front();
  }
  return false;
}

std::vector<Compiled> compile(const std::vector<Rule>& rules) {
  std::vector<Compiled> out;
  for (const auto& rule : rules) {
    Compiled compiled{&rule, {}};
    bool readable = !rule.when.empty();
    for (const auto& [word, value] : rule.when) {
      auto condition = read_condition(word, value);
      if (!condition) {
        readable = false;
        break;
      }
      compiled.conditions.push_back(std::move(*condition));
    }
    if (readable) out.push_back(std::move(compiled));
  }
  return out;
}

bool speaks(const Compiled& rule, const Facts& facts) {
  return std::all_of(rule.conditions.begin(), rule.conditions.end(),
                     [&](const Condition& condition) { return holds(condition, facts); });
}

}  // namespace tackcloth::finish
