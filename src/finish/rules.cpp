// Rules are data: reading catalog/rules.toml.
#include <set>

#include "finish/words.h"
#include "reading/table.h"

namespace tackcloth::finish {

Results<std::vector<Rule>> load_rules(const std::string& path) {
  auto opened = reading::Document::open(path);
  if (!opened) return tl::unexpected(std::vector<Problem>{opened.error()});
  auto& document = **opened;
  auto root = document.root();
  std::vector<Rule> rules;
  std::set<std::string> ids;
  for (auto& table : root.tables("rule")) {
    Rule rule;
    rule.id = table.need_text("id");
    if (!ids.insert(rule.id).second) {
      table.problem("id", "two rules are called '" + rule.id + "'", "an id used once", "rename one of them");
    }
    static const std::vector<std::string> severities = {"note", "caution", "must_not"};
    if (const auto severity = table.choice("severity", severities)) {
      rule.severity = static_cast<catalog::Severity>(*severity);
    } else if (!table.has("severity")) {
      table.problem("severity", "rule '" + rule.id + "' has no severity", "note, caution or must_not",
                    "add severity = \"caution\"");
    }
    rule.reason = table.need_text("reason");
    rule.mend = table.need_text("mend");
    rule.source = table.need_text("source");
    if (auto when = table.table("when")) {
      for (const auto& key : when->keys()) {
        const auto value = when->text(key);
        if (!value) continue;
        if (auto condition = read_condition(key, *value); !condition) {
          when->problem(key, condition.error().what, condition.error().expected, condition.error().remedy);
        }
        rule.when.emplace_back(key, *value);
      }
      when->finish();
    }
    if (rule.when.empty()) {
      table.problem("when", "rule '" + rule.id + "' has no conditions", "a [rule.when] table with at least one word",
                    "see docs/finish.md for the words");
    }
    table.finish();
    rules.push_back(std::move(rule));
  }
  root.finish();
  if (!document.problems().empty()) return tl::unexpected(document.problems());
  return rules;
}

}  // namespace tackcloth::finish
