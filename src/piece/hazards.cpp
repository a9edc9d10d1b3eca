#include <algorithm>
#include <limits>

#include "piece/piece.h"

namespace tackcloth::piece {

namespace {

using catalog::Finding;
using catalog::Severity;

// US ban on lead paint for consumer use, 16 CFR 1303: made before 1978.
constexpr int kLeadBanYear = 1978;
constexpr double kUnknownVeneerUm = 500;  // thin modern sliced veneer, from memory
constexpr double kLaminateUm = 50;        // overlay above the print, from memory
constexpr double kThinBudgetUm = 200;     // under this a P120 sanding can go through; common practice, no source

bool may_hide_lead(Existing existing) {
  return existing != Existing::bare && existing != Existing::bare_metal && existing != Existing::laminate;
}

// "top, leg": the parts that `test` picks.
template <class Test>
std::string parts_where(const Piece& piece, Test test) {
  std::string names;
  for (const Part& part : piece.parts)
    if (test(part)) names += (names.empty() ? "" : ", ") + part.id;
  return names;
}

}  // namespace

double sanding_budget_um(const Part& part) {
  switch (part.substrate.material) {
    case Material::veneer:
      return part.substrate.veneer_um.value_or(kUnknownVeneerUm) / 2;
    case Material::laminate:
      return kLaminateUm;
    case Material::fabric:
      return 0;
    case Material::solid_wood:
    case Material::metal:
    case Material::board:
      break;
  }
  return std::numeric_limits<double>::infinity();
}

bool lead_possible(const Piece& piece) {
  if (piece.lead_test_negative) return !*piece.lead_test_negative;
  if (piece.year && *piece.year >= kLeadBanYear) return false;
  return std::any_of(piece.parts.begin(), piece.parts.end(),
                     [](const Part& part) { return may_hide_lead(part.existing); });
}

std::vector<Finding> hazards(const Piece& piece) {
  std::vector<Finding> findings;
  if (lead_possible(piece)) {
    const bool found = piece.lead_test_negative.has_value();
    Finding lead;
    lead.rule = "lead-possible";
    lead.severity = Severity::caution;
    lead.reason = found ? "A test has found lead in the old finish. Its dust harms the brain, of children most of all."
                        : std::string("The old finish may hold lead: the piece ") +
                              (piece.year ? "was made before 1978" : "is of unknown age") +
                              " and has not been tested. Its dust harms the brain, of children most of all.";
    lead.mend = found ? "No dry sanding, scraping or heat. Keep children and pregnant women away, and leave it to a "
                        "qualified person under the local rules."
                      : "Test every layer before any dry sanding, scraping or heat, and log the result. Until then "
                        "treat it as lead: work wet, keep children and pregnant women away, follow the local rules.";
    lead.source = "US 16 CFR 1303 (ban for consumer use, 1978); US EPA 40 CFR 745 subpart E; local codes decide";
    findings.push_back(std::move(lead));
  }
  const auto add = [&](std::string rule, Severity severity, const std::string& parts, const std::string& reason,
                       std::string mend, std::string source) {
    if (!parts.empty())
      findings.push_back(
          {std::move(rule), severity, reason + " (" + parts + ").", std::move(mend), std::move(source), "", ""});
  };
  add("mains-wiring", Severity::caution, parts_where(piece, [](const Part& p) { return p.has_wiring; }),
      "There is mains wiring in it: old insulation fails, parts stay live, capacitors hold a charge",
      "Unplug it before anything else and keep it unplugged. Washing, sanding dust and solvents stay away from it. "
      "Leave the wiring to a qualified person, who also clears it before it is plugged in again.",
      "common practice, no source; local codes decide");
  add("finish-unknown", Severity::note,
      parts_where(piece, [](const Part& p) { return p.existing == Existing::unknown; }),
      "What is on it now is not known, and not every finish takes another on top",
      "Try alcohol, then lacquer thinner, then oil on a hidden spot: what softens tells what it is. Write it as "
      "existing = \"shellac\", \"lacquer\", \"varnish\" and so on.",
      "common practice, no source");
  add("veneer-unknown", Severity::caution,
      parts_where(piece,
                  [](const Part& p) { return p.substrate.material == Material::veneer && !p.substrate.veneer_um; }),
      "The thickness of the veneer is not known, so it is taken as thin (0.5 mm)",
      "Look at an edge, a screw hole or under a lock plate and write veneer = \"0.6 mm\".",
      "from memory: sliced veneer of about 0.5 mm");
  add("veneer-thin", Severity::caution,
      parts_where(piece,
                  [](const Part& p) {
                    return p.substrate.material == Material::veneer && p.substrate.veneer_um &&
                           sanding_budget_um(p) < kThinBudgetUm;
                  }),
      "The veneer is thin: coarse paper or one pass too many goes through it, first at edges and corners",
      "Strip rather than sand, by hand with the grain, fine grits only, and stop at the first change of colour.",
      "common practice, no source");
  return findings;
}

}  // namespace tackcloth::piece
