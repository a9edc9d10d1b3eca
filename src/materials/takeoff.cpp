// Spreading rates and takeoff.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "materials/materials.h"
#include "materials/spread.h"

namespace tackcloth::materials {
namespace {

constexpr double kCubicInchesPerGallon = 231;  // NIST SP 811 (2008), appendix B: 1 US gal = 231 in³ exactly
constexpr double kSquareInchesPerSquareFoot = 144;
constexpr double kInchesPerMil = 0.001;

bool good(double value) { return std::isfinite(value) && value >= 0; }

struct Sum {
  Need need;
  double spread = 0;   // of what is counted, the widest
  double squares = 0;  // of the single amounts, for what differs from coat to coat
};

std::string where(const Use& use) {
  return use.piece.empty() ? "use of '" + use.product + "'"
                           : "use of '" + use.product + "' on piece '" + use.piece + "'";
}

// Unit the product is sold in, empty when nobody knows it.
std::string unit_of(const std::string& id, const catalog::Catalog& catalog) {
  if (const catalog::Product* product = catalog.product(id)) return product->unit;
  for (const catalog::Abrasive& abrasive : catalog.abrasives)
    if (abrasive_id(abrasive.grit) == id) return "sheet";
  return {};
}

}  // namespace

double spreading_rate_m2_l(double wet_um) { return 1000 / wet_um; }

double spreading_rate_ft2_gal(double wet_mil) {
  return kCubicInchesPerGallon / (kSquareInchesPerSquareFoot * kInchesPerMil * wet_mil);
}

double wet_um_from_coverage(double m2_per_l) { return 1000 / m2_per_l; }

std::string abrasive_id(int grit) { return "P" + std::to_string(grit); }

double amount_of(const Use& use) {
  if (use.area_m2 == 0 && use.wet_um == 0) return use.amount;
  // m² * µm = 1e-6 m³ = 1e-3 l
  return use.area_m2 * use.wet_um * 1e-3 * (1 + use.absorbed) / use.transfer + use.amount;
}

Results<std::vector<Need>> takeoff(const std::vector<Use>& uses, const catalog::Catalog& catalog) {
  std::vector<Problem> problems;
  const auto wrong = [&](const Use& use, std::string what, std::string expected, std::string remedy) {
    problems.push_back({"", 0, 0, where(use) + ": " + std::move(what), std::move(expected), std::move(remedy)});
  };
  std::vector<Sum> sums;
  std::map<std::string, std::size_t> index;
  for (const Use& use : uses) {
    const std::string unit = unit_of(use.product, catalog);
    if (unit.empty()) {
      wrong(use, "no such product", "the id of a product in the catalogue, or of an abrasive (P120)",
            "check the spelling, or add the product to the catalogue");
      continue;
    }
    const bool film = use.area_m2 != 0 || use.wet_um != 0;
    if (!good(use.area_m2) || !good(use.wet_um) || !good(use.amount)) {
      wrong(use, "area, wet film or amount is negative or not a number", "numbers of zero or more",
            "measure the zone again");
      continue;
    }
    if (!(use.transfer > 0 && use.transfer <= 1)) {
      wrong(use, "transfer is " + std::to_string(use.transfer), "a share above 0, at most 1",
            "0.95 is usual for a brush, 0.3 for an aerosol can");
      continue;
    }
    if (!good(use.absorbed)) {
      wrong(use, "absorbed share is " + std::to_string(use.absorbed), "a share of zero or more",
            "use 0 for sealed wood");
      continue;
    }
    if (film && unit != "l") {
      wrong(use, "a film of a product sold by the " + unit, "a product sold by the litre",
            "give an amount instead of a wet film");
      continue;
    }
    const double amount = amount_of(use);
    const auto [at, fresh] = index.try_emplace(use.product, sums.size());
    if (fresh) {
      sums.emplace_back();
      sums.back().need.product = use.product;
      sums.back().need.unit = unit;
    }
    Sum& sum = sums[at->second];
    sum.need.expected += amount;
    sum.squares += amount * amount;
    sum.spread = std::max(sum.spread, use.spread);
    auto& shares = sum.need.by_piece;
    auto share = shares.begin();
    while (share != shares.end() && share->first != use.piece) ++share;
    if (share == shares.end()) {
      shares.emplace_back(use.piece, amount);
    } else {
      share->second += amount;
    }
  }
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  std::vector<Need> needs;
  for (Sum& sum : sums) {
    const double mean = sum.need.expected;
    // Of what is counted a habit spends more or less of all of it.
    const double variance = sum.need.unit == "l" ? kHandCv * kHandCv * mean * mean + kCoatCv * kCoatCv * sum.squares
                                                 : sum.spread * sum.spread * mean * mean;
    sum.need.for_90_percent = variance > 0 ? quantile_90(mean, variance) : mean;
    needs.push_back(std::move(sum.need));
  }
  return needs;
}

int abrasive_sheets(double area_m2, const catalog::Abrasive& abrasive, double clogging_factor) {
  if (!(area_m2 > 0)) return 0;
  const double factor = std::isfinite(clogging_factor) && clogging_factor > 0 ? clogging_factor : 1;
  // A sheet of unknown life is counted as done after 0.1 m² (common practice, no source): rather one too many.
  const double life_m2 = abrasive.m2_per_sheet > 0 ? abrasive.m2_per_sheet : 0.1;
  const double sheets = std::ceil(area_m2 * factor / life_m2 - 1e-9);
  return sheets < std::numeric_limits<int>::max() ? static_cast<int>(sheets) : std::numeric_limits<int>::max();
}

}  // namespace tackcloth::materials
