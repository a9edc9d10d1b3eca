#include "sheet/shopping_page.h"

#include <algorithm>

#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr double kTick = 22, kTotal = 76, kGutter = 8;

std::string amount(double value, const std::string& unit, units::System system, const Tongue& tongue) {
  if (unit == "l") return tongue.number(units::format_volume(value, system));
  if (unit == "m") return tongue.number(units::format_length(value * 1000, system));
  if (unit == "m2") return tongue.number(units::format_area(value, system));
  if (unit.empty()) return tongue.number(number(value, 1));
  return tongue.number(number(value, 1)) + " " + tongue.fill(unit + (value == 1 ? "" : "s"));
}

Block purchase_block(const Canvas& canvas, const materials::Purchase& purchase, units::System system, double width) {
  const double left = (width - kTick - kTotal) * 0.5;
  const Tongue& tongue = canvas.tongue();
  const auto much = [&](double value) { return amount(value, purchase.unit, system, tongue); };
  std::string packs;
  for (const auto& line : purchase.lines)
    packs += (packs.empty() ? "" : "\n") +
             tongue.fill("{n} × {pack} at {each}",
                         {std::to_string(line.count), much(line.pack), tongue.number(to_text(line.each))});
  if (packs.empty())
    packs = tongue.fill(purchase.from_shelf > 0 && purchase.left_over >= 0 ? "on the shelf" : "nothing to buy");
  std::string need = tongue.fill("needs {n}", {much(purchase.need)});
  if (purchase.from_shelf > 0) need += ", " + tongue.fill("{n} from the shelf", {much(purchase.from_shelf)});
  if (!purchase.note.empty()) need += "; " + tongue.say(purchase.note);
  const Text name(canvas,
                  {{purchase.name.empty() ? purchase.product : tongue.word(purchase.name), true, kInk},
                   {"\n" + need, false, kSoft}},
                  left - kGutter, 2);
  const Text bought(canvas, {{packs, false, kInk}}, width - kTick - kTotal - left - kGutter);
  const Text total(canvas, {{tongue.number(to_text(purchase.total)), false, kInk}}, kTotal, 1);
  const double height = std::max(name.height(), bought.height()) + 5;
  return {height, [=, &canvas, box = !purchase.lines.empty()](double x, double y) {
            canvas.ink(kInk);
            if (box) canvas.frame(x + 2, y + 4, 11, 11, 0.9);
            name.draw(canvas, x + kTick, y + 2);
            bought.draw(canvas, x + kTick + left, y + 2);
            total.draw(canvas, x + width - total.width(), y + 2);
            canvas.ink({0.75, 0.73, 0.70});
            canvas.rule(x, y + height, width, 0.4);
            canvas.ink(kInk);
          }};
}

}  // namespace

std::vector<Block> shopping_page(const Canvas& canvas, const plan::Plan& plan, double width, double height) {
  const Tongue& tongue = canvas.tongue();
  Money total;
  std::vector<Block> lines, cautions;
  for (const materials::Purchase& purchase : plan.purchases) {
    total += purchase.total;
    lines.push_back(purchase_block(canvas, purchase, plan.system, width));
  }
  for (const catalog::Finding* finding : shop_findings(plan)) {
    const char* word = finding->severity == catalog::Severity::must_not  ? "Must not:"
                       : finding->severity == catalog::Severity::caution ? "Caution:"
                                                                         : "Note:";
    cautions.push_back(paragraph(
        canvas, {{tongue.fill(word) + " ", true, kInk}, {finding_words(*finding, tongue), false, kInk}}, width, 4));
  }
  const auto with = [&](std::size_t bought, std::size_t said) {
    std::vector<Block> blocks{paragraph(canvas, {{tongue.fill("Shopping and cautions"), true, kInk}}, width, 1, 20)};
    const auto left_out = [&](std::size_t n, const char* what) {
      if (n > 0) blocks.push_back(paragraph(canvas, {{tongue.fill(what, {std::to_string(n)}), true, kInk}}, width));
    };
    blocks.push_back(
        paragraph(canvas,
                  {{tongue.fill("For all pieces, enough in nine jobs of ten. Prices in {currency}.", {plan.currency}),
                    false, kInk}},
                  width, 2));
    blocks.push_back(gap(4));
    blocks.insert(blocks.end(), lines.begin(), lines.begin() + static_cast<std::ptrdiff_t>(bought));
    left_out(lines.size() - bought, "{n} things to buy left out, see the app");
    const Text sum(
        canvas, {{tongue.fill("To buy: {n} {currency}", {tongue.number(to_text(total)), plan.currency}), true, kInk}},
        width, 1, 12.5);
    blocks.push_back({sum.height() + 8,
                      [&canvas, sum, width](double x, double y) { sum.draw(canvas, x + width - sum.width(), y + 4); }});
    blocks.push_back(heading(canvas, tongue.fill("Cautions for the whole shop"), width));
    blocks.insert(blocks.end(), cautions.begin(), cautions.begin() + static_cast<std::ptrdiff_t>(said));
    left_out(cautions.size() - said, "{n} cautions left out, see the app");
    blocks.push_back(paragraph(
        canvas,
        {{tongue.fill("Oily rags flat outdoors or under water. Fan on, no flames with solvents. Test old finishes "
                      "for lead before dry sanding. Old wiring stays unplugged. Local codes and licensed "
                      "practice decide."),
          true, kInk}},
        width));
    return blocks;
  };
  // Cautions are kept before purchases: those are in the shopping list as a file too.
  for (std::size_t said = cautions.size();; said = said / 2) {
    for (std::size_t bought = lines.size();; --bought) {
      std::vector<Block> blocks = with(bought, said);
      if (flow(blocks, {height, height}) || (said == 0 && bought == 0)) return blocks;
      if (bought == 0 || (said > 4 && bought <= lines.size() / 2)) break;
    }
  }
}

}  // namespace tackcloth::sheet
