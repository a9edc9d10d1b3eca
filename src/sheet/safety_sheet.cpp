#include <algorithm>
#include <cmath>

#include "sheet/hand_over.h"
#include "sheet/leaves.h"
#include "sheet/parts.h"
#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr double kSafetyMargin = 36;
constexpr std::size_t kMostPages = 3;
constexpr int kWholeLines = 40, kFewLines = 4;      // of one product
constexpr double kWholeBox = 0.9, kSmallBox = 0.7;  // what the box may take of the first page

// Products of the piece in the order they come up.
std::vector<const catalog::Product*> products_of(const plan::PlannedPiece& piece, const catalog::Catalog& catalog) {
  std::vector<const catalog::Product*> products;
  for (const plan::PlannedStep& step : piece.schedule) {
    const catalog::Product* product = catalog.product(step.product);
    if (!product || std::find(products.begin(), products.end(), product) != products.end()) continue;
    // Tape and cloth with nothing to say take the room of a can that has.
    if (product->kind == catalog::Kind::consumable && product->hazards.empty() && !product->self_heating) continue;
    products.push_back(product);
  }
  // What can hurt most comes first: fire by itself, then what burns at the lowest temperature.
  std::stable_sort(products.begin(), products.end(), [](const catalog::Product* a, const catalog::Product* b) {
    if (a->self_heating != b->self_heating) return a->self_heating;
    return a->flash_point_c.value_or(1e9) < b->flash_point_c.value_or(1e9);
  });
  return products;
}

std::string dangers_of(const catalog::Product& product, units::System system, const Tongue& tongue) {
  std::string text;
  const auto add = [&](std::string words) {
    if (words.ends_with('.')) words.pop_back();
    text += (text.empty() ? "" : "; ") + words;
  };
  if (product.self_heating) add(tongue.fill("rags catch fire by themselves"));
  for (const std::string& hazard : product.hazards) add(tongue.say(hazard));
  if (product.flash_point_c)
    add(tongue.fill("flash point {n}", {tongue.number(units::format_temperature(*product.flash_point_c, system))}));
  return text.empty() ? tongue.fill("no danger is known to the catalogue: read the can") : text;
}

std::vector<std::string> air_words(const plan::PlannedPiece& piece, const catalog::Catalog& catalog,
                                   const Tongue& tongue) {
  const air::Verdict& air = piece.air;
  std::vector<std::string> lines;
  if (air.worst_component.empty()) {
    lines.push_back(tongue.fill("Fresh air whenever a can is open; the vapour of this piece was not computed."));
    return lines;
  }
  const catalog::Component* component = catalog.component(air.worst_component);
  lines.push_back(tongue.fill(
      "Worst vapour: {word}, {n} of what may be breathed over a shift (1 is the limit).",
      {tongue.word(component ? component->name : air.worst_component), tongue.number(number(air.mixture_share, 2))}));
  if (!std::isfinite(air.fan_needed_m3_h))
    lines.push_back(tongue.fill("No fan in this room is enough: coat elsewhere, or with another product."));
  else if (air.fan_needed_m3_h > 0)
    lines.push_back(tongue.fill("Extract fan of at least {n} while coating and after.",
                                {number(std::ceil(air.fan_needed_m3_h), 0) + " m³/h"}));
  if (!std::isfinite(air.reentry_h))
    lines.push_back(tongue.fill("When the room may be entered without a mask is not known."));
  else
    lines.push_back(tongue.fill("Without a mask again {n} after the coat, fan as planned.",
                                {tongue.number(units::format_hours(air.reentry_h))}));
  return lines;
}

}  // namespace

Result<std::string> safety_sheet_pdf(const plan::Plan& plan, const plan::PlannedPiece& piece,
                                     const catalog::Catalog& catalog, Paper paper, Instant made_at,
                                     const Tongue& tongue) {
  const std::string name = piece.name.empty() ? piece.id : piece.name;
  Leaves leaves(size_of(paper), kSafetyMargin, tongue.fill("Safety: {piece}", {name}), plan.shop, made_at, tongue);
  const std::string foot = tongue.fill("Local codes and licensed practice decide.");
  const Canvas& canvas = leaves.canvas();
  const double width = leaves.width();
  const auto products = products_of(piece, catalog);
  const auto with = [&](std::size_t shown, int most_lines, double box) {
    std::vector<Block> blocks{paragraph(canvas, {{tongue.fill("Safety sheet"), true, kInk}}, width, 1, 20),
                              paragraph(canvas, {{name, true, kInk}}, width, 1, 12.5), gap(4),
                              safety_box(canvas, safety_of(plan, piece, tongue), width, leaves.body() * box)};
    blocks.push_back(heading(canvas, tongue.fill("Air"), width));
    for (Block& block : bullets(canvas, air_words(piece, catalog, tongue), width)) blocks.push_back(std::move(block));
    blocks.push_back(heading(canvas, tongue.fill("Products of this job"), width));
    for (std::size_t i = 0; i < shown; ++i)
      blocks.push_back(paragraph(canvas,
                                 {{tongue.word(products[i]->name) + ": ", true, kInk},
                                  {dangers_of(*products[i], plan.system, tongue), false, kInk}},
                                 width, most_lines));
    if (shown < products.size())
      blocks.push_back(paragraph(canvas,
                                 {{tongue.fill("{n} more products with lesser dangers, see the app and the cans.",
                                               {std::to_string(products.size() - shown)}),
                                   true, kInk}},
                                 width));
    if (most_lines < kWholeLines || box < kWholeBox)
      blocks.push_back(paragraph(
          canvas,
          {{tongue.fill("A line that ends in … is cut: the rest stands in the app and on the can."), true, kInk}},
          width));
    blocks.push_back(heading(canvas, tongue.fill("Always"), width));
    for (Block& block : bullets(
             canvas,
             {tongue.fill("Wet rags flat outdoors or under water in a lidded metal can, never in a heap."),
              tongue.fill("No flame, spark, heater or bare switch near solvent. Cans shut when not in use."),
              tongue.fill("Read the maker's safety data sheet of each can: it counts before this sheet."),
              tongue.fill("In an emergency, the local emergency number: ______________ Poison centre: ______________")},
             width))
      blocks.push_back(std::move(block));
    return blocks;
  };
  // A danger is not cut for want of room: the sheet runs on. Only past that are lesser products left to the cans.
  for (std::size_t pages = 1; pages <= kMostPages; ++pages) {
    const std::vector<Block> blocks = with(products.size(), kWholeLines, kWholeBox);
    if (leaves.fits(blocks, pages)) return leaves.finish(blocks, foot, pages);
  }
  for (std::size_t shown = products.size(); shown > 0; --shown) {
    const std::vector<Block> blocks = with(shown, kFewLines, kSmallBox);
    if (leaves.fits(blocks, kMostPages)) return leaves.finish(blocks, foot, kMostPages);
  }
  return leaves.finish(with(0, kFewLines, kSmallBox), foot, kMostPages);
}

}  // namespace tackcloth::sheet
