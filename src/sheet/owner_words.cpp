// What was done to a piece and what to heed, in words for its owner.
#include "sheet/owner_words.h"

#include <algorithm>
#include <map>

#include "sheet/bill.h"
#include "sheet/safety.h"
#include "units/quantity.h"

namespace tackcloth::sheet {

using finish::StepKind;

namespace {

// nullptr: not worth a line, or part of another.
const char* plain_words(StepKind kind) {
  switch (kind) {
    case StepKind::lead_test:
      return "Test for lead";
    case StepKind::wash:
    case StepKind::degrease:
    case StepKind::spirit_wipe:
      return "Cleaning";
    case StepKind::scrape_glue:
      return "Old glue taken off";
    case StepKind::strip:
      return "Old finish taken off";
    case StepKind::sand:
      return "Sanding";
    case StepKind::repair:
      return "Repairs";
    case StepKind::fill:
    case StepKind::grain_fill:
      return "Filling";
    case StepKind::metal_clean:
      return "Metal cleaned";
    case StepKind::fabric_dry_fit:
    case StepKind::fabric_glue:
      return "Cloth fitted and glued";
    case StepKind::test_board:
      return "Test board";
    case StepKind::take_apart:
    case StepKind::put_back:
      return "Taken apart and put back together";
    case StepKind::stain:
      return "Stain";
    case StepKind::barrier:
    case StepKind::seal:
      return "Sealer";
    case StepKind::prime:
      return "Primer";
    case StepKind::paint:
      return "Paint";
    case StepKind::clear:
      return "Clear finish";
    case StepKind::oil:
      return "Oil";
    case StepKind::wax:
      return "Wax";
    case StepKind::metal_coat:
      return "Coating of the metal";
    case StepKind::take_in:
    case StepKind::neutralize:
    case StepKind::dry_out:
    case StepKind::dust_off:
    case StepKind::mask:
    case StepKind::scuff:
    case StepKind::wait:
    case StepKind::inspect:
    case StepKind::hand_over:
      return nullptr;
  }
  return nullptr;
}

bool is_coat(const plan::PlannedStep& step) { return step.wet_um > 0 && !step.product_name.empty(); }

std::vector<std::string> zones_of(const plan::PlannedStep& step) {
  std::vector<std::string> zones;
  for (std::size_t from = 0; from <= step.zones.size();) {
    const std::size_t end = std::min(step.zones.find(", ", from), step.zones.size());
    zones.push_back(step.zones.substr(from, end - from));
    from = end + 2;
  }
  return zones;
}

}  // namespace

bool is_finish(const plan::PlannedStep& step) {
  switch (step.kind) {
    case StepKind::paint:
    case StepKind::clear:
    case StepKind::oil:
    case StepKind::wax:
    case StepKind::metal_coat:
      return is_coat(step);
    default:
      return false;
  }
}

std::vector<Coats> coats_of(const plan::PlannedPiece& piece) {
  std::vector<Coats> all;
  std::vector<std::map<std::string, int>> counts;  // by zone
  for (const plan::PlannedStep& step : piece.schedule) {
    if (!is_coat(step)) continue;
    auto found = std::find_if(all.begin(), all.end(), [&](const Coats& coats) {
      return coats.kind == step.kind && coats.product == step.product;
    });
    if (found == all.end()) {
      all.push_back({step.kind, step.product, step.product_name, 0, {}, is_finish(step)});
      counts.emplace_back();
      found = all.end() - 1;
    }
    auto& count = counts[static_cast<std::size_t>(found - all.begin())];
    for (const std::string& zone : zones_of(step)) {
      if (++count[zone] == 1) found->zones.push_back(zone);
      found->coats = std::max(found->coats, count[zone]);
    }
  }
  return all;
}

std::vector<std::string> work_words(const plan::PlannedPiece& piece, const Tongue& tongue) {
  const std::vector<Coats> coats = coats_of(piece);
  std::vector<std::string> lines;
  for (const plan::PlannedStep& step : piece.schedule) {
    const char* words = plain_words(step.kind);
    if (words == nullptr) continue;
    std::string line = tongue.fill(words);
    const bool cloth = step.kind == StepKind::fabric_dry_fit || step.kind == StepKind::fabric_glue;
    if (is_coat(step) && !cloth)
      for (const Coats& one : coats)
        if (one.kind == step.kind && one.product == step.product) line += ": " + coats_words(one, tongue);
    if (std::find(lines.begin(), lines.end(), line) == lines.end()) lines.push_back(line);
  }
  return lines;
}

std::string coats_words(const Coats& coats, const Tongue& tongue) {
  const std::string name = tongue.word(coats.product_name);
  return coats.coats > 1 ? tongue.fill("{word}, {n} coats", {name, std::to_string(coats.coats)}) : name;
}

std::vector<std::string> use_words(const plan::PlannedPiece& piece, const Forms& forms) {
  if (!piece.light_use || !piece.full_use)
    return {forms.tongue.fill("When it may be used is not known: ask before anything is put on it.")};
  // Nothing is called ready early: a moment within a day is the next day.
  const auto from = [&](Instant instant) { return date_words(instant + Minutes(24 * 60 - 1), forms); };
  return {
      forms.tongue.fill("Light use from {when}: set things down gently, nothing wet, hot or heavy.",
                        {from(*piece.light_use)}),
      forms.tongue.fill(
          "Full use from {when}. Both are safe in nine cases of ten, in a room at about the shop's warmth; a colder "
          "or damper one takes longer.",
          {from(*piece.full_use)})};
}

std::vector<std::string> owner_cautions(const plan::Plan& plan, const plan::PlannedPiece& piece, const Forms& forms) {
  std::vector<std::string> lines;
  for (const SafetyLine& line : safety_of(plan, piece, forms.tongue))
    if (line.title == "Must not" || ((line.title == "Lead" || line.title == "Wiring") && line.found))
      lines.push_back(line.text);
  if (!coats_of(piece).empty())
    for (std::string& line : use_words(piece, forms)) lines.push_back(std::move(line));
  return lines;
}

}  // namespace tackcloth::sheet
