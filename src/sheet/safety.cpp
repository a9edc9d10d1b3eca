#include "sheet/safety.h"

#include <algorithm>

namespace tackcloth::sheet {
namespace {

using catalog::Finding;
using catalog::Severity;

struct Topic {
  const char* title;
  std::vector<const char*> words;  // in the id of a rule
  const char* standing;
};

// Usual cautions (common practice, no source); findings carry their own sources.
const std::vector<Topic>& topics() {
  static const std::vector<Topic> all = {
      {"Lead",
       {"lead-", "-lead", "lead_"},
       "No warning on this piece. If an older layer shows, stop and test before any dry sanding."},
      {"Rags",
       {"rag", "self-heat"},
       "Oily rags can catch fire by themselves. Dry them flat outdoors or keep them under water in a lidded metal "
       "can."},
      {"Solvents",
       {"solvent", "vapour", "vapor", "flame", "ignition", "expos", "lel", "spark"},
       "Fan on, no flame or spark, gloves; half mask with organic vapour cartridges."},
      {"Wiring",
       {"wiring", "mains", "electric"},
       "Anything electrical stays unplugged and is left to a qualified person."},
      {"Dust", {"dust"}, "Extraction and a dust mask for all sanding."},
      {"Strippers", {"stripper"}, "Gloves, goggles and fresh air; follow the can."},
  };
  return all;
}

bool touches(const Finding& finding, const Topic& topic) {
  const std::string rule = "-" + finding.rule + "-";
  return std::any_of(topic.words.begin(), topic.words.end(),
                     [&](const char* word) { return rule.find(word) != std::string::npos; });
}

bool on_piece(const Finding& finding, const plan::PlannedPiece& piece) {
  return finding.piece.empty() || finding.piece == piece.id;
}

bool is_topic(const Finding& finding) {
  return std::any_of(topics().begin(), topics().end(), [&](const Topic& topic) { return touches(finding, topic); });
}

bool strips(const plan::PlannedPiece& piece) {
  return std::any_of(piece.schedule.begin(), piece.schedule.end(),
                     [](const plan::PlannedStep& step) { return step.kind == finish::StepKind::strip && !step.done; });
}

void by_weight(std::vector<const Finding*>& findings) {
  std::stable_sort(findings.begin(), findings.end(),
                   [](const Finding* a, const Finding* b) { return a->severity > b->severity; });
}

}  // namespace

std::string finding_words(const Finding& finding, const Tongue& tongue) {
  return tongue.say(finding.reason) + (finding.mend.empty() ? "" : " " + tongue.say(finding.mend));
}

std::vector<SafetyLine> safety_of(const plan::Plan& plan, const plan::PlannedPiece& piece, const Tongue& tongue) {
  std::vector<SafetyLine> lines;
  std::vector<std::string> texts;
  const auto add = [&](const std::string& title, const std::string& text) {
    if (std::find(texts.begin(), texts.end(), text) != texts.end()) return;
    texts.push_back(text);
    lines.push_back({title, text, true});
  };
  for (const Finding& finding : plan.findings)
    if (finding.severity == Severity::must_not && on_piece(finding, piece))
      add("Must not", finding_words(finding, tongue));
  for (const Topic& topic : topics()) {
    // Findings on the piece itself say more than the shop's; the shop's are on the last page.
    std::vector<const Finding*> found;
    for (const Finding& finding : plan.findings)
      if (on_piece(finding, piece) && finding.severity != Severity::must_not && touches(finding, topic))
        found.push_back(&finding);
    std::stable_sort(found.begin(), found.end(), [](const Finding* a, const Finding* b) {
      return std::pair(a->severity, !a->piece.empty()) > std::pair(b->severity, !b->piece.empty());
    });
    if (!found.empty()) {
      add(topic.title, finding_words(*found.front(), tongue));
    } else if (topic.title != std::string("Strippers") || strips(piece)) {
      lines.push_back({topic.title, tongue.fill(topic.standing), false});
    }
  }
  return lines;
}

std::vector<const Finding*> other_findings(const plan::Plan& plan, const plan::PlannedPiece& piece) {
  std::vector<const Finding*> out;
  for (const Finding& finding : plan.findings)
    if (finding.piece == piece.id && finding.severity != Severity::must_not && !is_topic(finding))
      out.push_back(&finding);
  by_weight(out);
  return out;
}

std::vector<const Finding*> shop_findings(const plan::Plan& plan) {
  std::vector<const Finding*> out;
  for (const Finding& finding : plan.findings)
    if (finding.piece.empty()) out.push_back(&finding);
  by_weight(out);
  return out;
}

}  // namespace tackcloth::sheet
