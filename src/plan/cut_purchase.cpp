#include "plan/cut_purchase.h"

#include <map>

#include "shape/shape.h"

namespace tackcloth::plan {

namespace {

constexpr std::int64_t kLayouts = 400, kOutlineLayouts = 6;  // outlines take far longer each
constexpr double kUmPerYard = 914'400;                       // NIST SP 811

CutPurchase purchase_of(const job::CutFrom& cut, units::System system) {
  CutPurchase made;
  materials::Purchase& purchase = made.purchase;
  purchase.product = "cut_" + cut.id;
  purchase.name = cut.name;
  const bool us = system == units::System::us, sheet = cut.order.sheet_length > 0;
  purchase.unit = sheet ? "sheet" : us ? "yd" : "m";
  std::map<std::string, double> by_piece;
  for (std::size_t p = 0; p < cut.order.parts.size(); ++p)
    if (!cut.pieces[p].empty())
      by_piece[cut.pieces[p]] +=
          double(cut.order.parts[p].width) * double(cut.order.parts[p].height) * cut.order.parts[p].quantity;
  made.by_piece.assign(by_piece.begin(), by_piece.end());
  cutting::Options options;
  options.max_layouts = cut.order.outlines ? kOutlineLayouts : kLayouts;
  options.proof_nodes = 20'000;
  const auto answer = cutting::solve(cut.order, system, options);
  if (!answer) {
    purchase.note = answer.error().front().what;
    return made;
  }
  if (!answer->missing.empty()) {
    purchase.note = "no room on what there is for '" + answer->missing.front() + "'" +
                    (answer->missing.size() > 1 ? " and others" : "") + ", and nothing new is named";
    return made;
  }
  // Tenths of a metre, eighths of a yard or whole sheets: what one costs is rounded once, half up.
  const int steps = sheet ? answer->sheets : us ? answer->eighths_yd : answer->tenths_m;
  const int a_whole = sheet ? 1 : us ? 8 : 10;
  const double used = double(answer->length + answer->spare);
  purchase.need = sheet ? answer->sheets : us ? used / kUmPerYard : used / 1e6;
  purchase.optimal = answer->proven;
  if (steps == 0) {
    purchase.note = "cut from remnants";
    return made;
  }
  const double bought = double(steps) / a_whole;
  purchase.left_over = bought - purchase.need;
  if (!cut.price) {
    purchase.note = "no price given";
    purchase.lines.push_back({bought, 1, {}, {}});
    return made;
  }
  const Money total{(cut.price->minor * steps + a_whole / 2) / a_whole};
  if (sheet)
    purchase.lines.push_back({1, steps, *cut.price, total});
  else
    purchase.lines.push_back({bought, 1, total, total});
  purchase.total = total;
  purchase.note = "by the cutting layout";
  return made;
}

}  // namespace

std::vector<CutPurchase> cut_purchases(const job::Job& job) {
  std::vector<CutPurchase> made;
  for (const job::CutFrom& cut : job.cuts)
    if (!cut.order.parts.empty()) made.push_back(purchase_of(cut, job.shop.system));
  return made;
}

}  // namespace tackcloth::plan
