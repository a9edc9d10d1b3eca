#include <algorithm>

#include "sheet/hand_over.h"
#include "sheet/leaves.h"
#include "sheet/owner_words.h"
#include "sheet/parts.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kCardMargin = 28;

std::string title_of(const plan::PlannedPiece& piece) { return piece.name.empty() ? piece.id : piece.name; }

// "Satin wiping varnish, 3 coats, on top, apron"
std::vector<std::string> finish_words(const plan::PlannedPiece& piece, const Tongue& tongue) {
  std::vector<std::string> lines;
  for (const Coats& coats : coats_of(piece)) {
    if (!coats.finish) continue;
    std::string zones;
    for (const std::string& zone : coats.zones)
      if (!zone.empty()) zones += (zones.empty() ? "" : ", ") + zone_words(zone, tongue);
    const std::string line = coats_words(coats, tongue);
    lines.push_back(zones.empty() ? line : tongue.fill("{what}, on {zones}", {line, zones}));
  }
  const bool cloth = std::any_of(piece.schedule.begin(), piece.schedule.end(), [](const plan::PlannedStep& step) {
    return step.kind == finish::StepKind::fabric_glue;
  });
  if (cloth) lines.push_back(tongue.fill("Cloth, glued"));
  return lines;
}

}  // namespace

Result<std::string> care_card_pdf(const plan::Plan& plan, const plan::PlannedPiece& piece, const Forms& forms,
                                  Paper paper, Instant made_at) {
  const Tongue& tongue = forms.tongue;
  Leaves leaves(half_of(paper), kCardMargin, tongue.fill("Care of {piece}", {title_of(piece)}), plan.shop, made_at,
                tongue);
  const Canvas& canvas = leaves.canvas();
  const double width = leaves.width();
  const std::vector<std::string> finishes = finish_words(piece, tongue);
  const auto with = [&](std::size_t shown, int most_lines) {
    std::vector<Block> blocks{paragraph(canvas, {{tongue.fill("Care of your piece"), true, kInk}}, width, 1, 17),
                              paragraph(canvas, {{title_of(piece), true, kInk}}, width, 2, 12.5)};
    const auto list = [&](const std::string& words, const std::vector<std::string>& lines) {
      if (lines.empty()) return;
      blocks.push_back(heading(canvas, words, width));
      for (const std::string& line : lines)
        blocks.push_back(paragraph(canvas, {{"• " + line, false, kInk}}, width, most_lines));
    };
    std::vector<std::string> some(finishes.begin(), finishes.begin() + static_cast<std::ptrdiff_t>(shown));
    if (shown < finishes.size())
      some.push_back(tongue.fill("{n} more finishes, see the job sheet", {std::to_string(finishes.size() - shown)}));
    list(tongue.fill("Its finish"), some);
    list(tongue.fill("When it may be used"), use_words(piece, forms));
    std::vector<std::string> care;
    // The card's own dates stand above.
    for (const std::string& line : piece.care)
      if (!line.starts_with("Full hardness") && !line.starts_with("When it is fully hard"))
        care.push_back(tongue.say(line));
    list(tongue.fill("Keeping it"), care);
    blocks.push_back(gap(6));
    blocks.push_back(paragraph(canvas,
                               {{tongue.fill("A mark or a tacky place: ask before you rub.") +
                                     (plan.shop.empty() ? "" : " " + plan.shop + "."),
                                 false, kInk}},
                               width, 2));
    return blocks;
  };
  for (const int most_lines : {4, 3, 2})
    for (std::size_t shown = finishes.size();; --shown) {
      const std::vector<Block> blocks = with(shown, most_lines);
      if (leaves.fits_one(blocks) || (shown == 0 && most_lines == 2)) return leaves.finish(blocks, "", 1);
      if (shown == 0 || (most_lines > 2 && shown + 2 <= finishes.size())) break;
    }
  return leaves.finish({}, "", 1);
}

}  // namespace tackcloth::sheet
