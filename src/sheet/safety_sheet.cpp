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
constexpr int kMostLines = 5;  // of one product, when there is room

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

std::string dangers_of(const catalog::Product& product, units::System system) {
  std::string text;
  const auto add = [&](std::string words) {
    if (words.ends_with('.')) words.pop_back();
    text += (text.empty() ? "" : "; ") + words;
  };
  if (product.self_heating) add("rags catch fire by themselves");
  for (const std::string& hazard : product.hazards) add(hazard);
  if (product.flash_point_c) add("flash point " + units::format_temperature(*product.flash_point_c, system));
  return text.empty() ? "no danger is known to the catalogue: read the can" : text;
}

std::vector<std::string> air_words(const plan::PlannedPiece& piece) {
  const air::Verdict& air = piece.air;
  std::vector<std::string> lines;
  if (air.worst_component.empty()) {
    lines.emplace_back("Fresh air whenever a can is open; the vapour of this piece was not computed.");
    return lines;
  }
  lines.push_back("Worst vapour: " + air.worst_component + ", " + number(air.mixture_share, 2) +
                  " of what may be breathed over a shift (1 is the limit).");
  if (!std::isfinite(air.fan_needed_m3_h))
    lines.emplace_back("No fan in this room is enough: coat elsewhere, or with another product.");
  else if (air.fan_needed_m3_h > 0)
    lines.push_back("Extract fan of at least " + number(std::ceil(air.fan_needed_m3_h), 0) +
                    " m³/h while coating and after.");
  if (!std::isfinite(air.reentry_h))
    lines.emplace_back("When the room may be entered without a mask is not known.");
  else
    lines.push_back("Without a mask again " + units::format_hours(air.reentry_h) + " after the coat, fan as planned.");
  return lines;
}

}  // namespace

Result<std::string> safety_sheet_pdf(const plan::Plan& plan, const plan::PlannedPiece& piece,
                                     const catalog::Catalog& catalog, Paper paper, Instant made_at) {
  const std::string name = piece.name.empty() ? piece.id : piece.name;
  Leaves leaves(size_of(paper), kSafetyMargin, "Safety: " + name, plan.shop, made_at);
  const Canvas& canvas = leaves.canvas();
  const double width = leaves.width();
  const auto products = products_of(piece, catalog);
  const auto with = [&](std::size_t shown, int most_lines) {
    std::vector<Block> blocks{paragraph(canvas, {{"Safety sheet", true, kInk}}, width, 1, 20),
                              paragraph(canvas, {{name, true, kInk}}, width, 1, 12.5), gap(4),
                              safety_box(canvas, safety_of(plan, piece), width, leaves.body() * 0.42)};
    blocks.push_back(heading(canvas, "Air", width));
    for (Block& block : bullets(canvas, air_words(piece), width)) blocks.push_back(std::move(block));
    blocks.push_back(heading(canvas, "Products of this job", width));
    for (std::size_t i = 0; i < shown; ++i)
      blocks.push_back(paragraph(
          canvas, {{products[i]->name + ": ", true, kInk}, {dangers_of(*products[i], plan.system), false, kInk}}, width,
          most_lines));
    if (shown < products.size())
      blocks.push_back(paragraph(
          canvas,
          {{std::to_string(products.size() - shown) + " more products with lesser dangers, see the app and the cans.",
            true, kInk}},
          width));
    if (most_lines < kMostLines)
      blocks.push_back(paragraph(
          canvas, {{"A line that ends in … is cut: the rest stands in the app and on the can.", true, kInk}}, width));
    blocks.push_back(heading(canvas, "Always", width));
    for (Block& block :
         bullets(canvas,
                 {"Wet rags flat outdoors or under water in a lidded metal can, never in a heap.",
                  "No flame, spark, heater or bare switch near solvent. Cans shut when not in use.",
                  "Read the maker's safety data sheet of each can: it counts before this sheet.",
                  "In an emergency, the local emergency number: ______________ Poison centre: ______________"},
                 width))
      blocks.push_back(std::move(block));
    return blocks;
  };
  for (const int most_lines : {kMostLines, 3, 2}) {
    const std::vector<Block> blocks = with(products.size(), most_lines);
    if (leaves.fits_one(blocks)) return leaves.finish(blocks, "Local codes and licensed practice decide.", 1);
  }
  for (std::size_t shown = products.size(); shown > 0; --shown) {
    const std::vector<Block> blocks = with(shown - 1, 2);
    if (leaves.fits_one(blocks) || shown == 1)
      return leaves.finish(blocks, "Local codes and licensed practice decide.", 1);
  }
  return leaves.finish(with(0, 2), "Local codes and licensed practice decide.", 1);
}

}  // namespace tackcloth::sheet
