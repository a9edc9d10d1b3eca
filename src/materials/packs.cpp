// Packs against the shelf and the price list.
#include <cmath>
#include <map>

#include "materials/materials.h"
#include "materials/pack_cover.h"

namespace tackcloth::materials {
namespace {

// Amounts are counted in ten-thousandths of a litre (or piece, sheet, metre), so that the choice is exact.

struct Sold {
  std::string name;
  std::vector<catalog::Pack> packs;
  std::optional<double> shelf_life_months;
};

std::optional<Sold> find(const std::string& id, const catalog::Catalog& catalog) {
  if (const catalog::Product* product = catalog.product(id))
    return Sold{product->name, product->packs, product->shelf_life_months};
  for (const catalog::Abrasive& abrasive : catalog.abrasives)
    if (abrasive_id(abrasive.grit) == id)
      return Sold{"Abrasive sheet " + id, {{1, abrasive.price_per_sheet}}, std::nullopt};
  return std::nullopt;
}

void add_note(std::string& note, const std::string& more) { note += (note.empty() ? "" : "; ") + more; }

struct Stock {
  double usable = 0, expired = 0;
};

void buy(Purchase& purchase, const std::vector<catalog::Pack>& packs, double missing) {
  std::vector<catalog::Pack> priced, unpriced;
  for (const catalog::Pack& pack : packs) {
    if (std::floor(pack.amount * kGrain) < 1 || pack.amount > kMost) continue;
    (pack.price.minor > 0 ? priced : unpriced).push_back(pack);
  }
  if (priced.empty() && unpriced.empty()) {
    add_note(purchase.note, "no pack sold: what is missing has to come from elsewhere");
    purchase.left_over = -missing;
    return;
  }
  if (!unpriced.empty())
    add_note(purchase.note,
             priced.empty() ? "no price known: the total is too low" : "a pack without a price is left out");
  const std::vector<catalog::Pack>& offered = priced.empty() ? unpriced : priced;
  std::vector<PackChoice> choices;
  for (const catalog::Pack& pack : offered)
    choices.push_back({static_cast<std::int64_t>(std::floor(pack.amount * kGrain + 1e-6)), pack.price.minor});
  const Cover cover = cheapest_cover(choices, static_cast<std::int64_t>(std::ceil(missing * kGrain - 1e-6)));
  double bought = 0;
  for (std::size_t i = 0; i < offered.size(); ++i) {
    if (cover.counts[i] == 0) continue;
    const Money total{offered[i].price.minor * cover.counts[i]};
    purchase.lines.push_back({offered[i].amount, cover.counts[i], offered[i].price, total});
    purchase.total += total;
    bought += offered[i].amount * cover.counts[i];
  }
  purchase.left_over = bought - missing;
  purchase.optimal = cover.proven;
}

}  // namespace

Results<std::vector<Purchase>> choose_packs(const std::vector<Need>& needs, const std::vector<Shelf>& shelf,
                                            const catalog::Catalog& catalog) {
  std::vector<Problem> problems;
  const auto unknown = [&](const std::string& where, const std::string& id) {
    problems.push_back({"", 0, 0, where + " '" + id + "' is not in the catalogue",
                        "the id of a product or an abrasive (P120)",
                        "check the spelling, or add the product to the catalogue"});
  };
  std::map<std::string, Stock> stock;
  for (const Shelf& item : shelf) {
    const std::optional<Sold> sold = find(item.product, catalog);
    if (!sold) {
      unknown("shelf item", item.product);
      continue;
    }
    if (!std::isfinite(item.amount) || item.amount < 0 || !std::isfinite(item.age_months) || item.age_months < 0) {
      problems.push_back({"", 0, 0, "shelf item '" + item.product + "' has a negative amount or age",
                          "an amount and an age of zero or more",
                          "write what is in the can now, or take the line out"});
      continue;
    }
    const bool expired = item.past || (sold->shelf_life_months && item.age_months > *sold->shelf_life_months);
    (expired ? stock[item.product].expired : stock[item.product].usable) += item.amount;
  }
  std::vector<Purchase> purchases;
  for (const Need& need : needs) {
    const std::optional<Sold> sold = find(need.product, catalog);
    if (!sold) {
      unknown("product", need.product);
      continue;
    }
    if (!std::isfinite(need.for_90_percent) || need.for_90_percent < 0 || need.for_90_percent > kMost) {
      problems.push_back({"", 0, 0, "the quantity of '" + need.product + "' is out of range",
                          "zero or more, at most a hundred thousand", "check the areas of the job"});
      continue;
    }
    for (const catalog::Pack& pack : sold->packs) {
      if (std::isfinite(pack.amount) && pack.price.minor >= 0) continue;
      problems.push_back({"", 0, 0, "a pack of '" + need.product + "' has a price below zero or no size",
                          "a size above zero and a price of zero or more", "mend the price list"});
    }
    Purchase purchase;
    purchase.product = need.product;
    purchase.name = sold->name;
    purchase.unit = need.unit;
    purchase.need = need.for_90_percent;
    purchase.expected = need.expected;
    const Stock have = stock[need.product];
    purchase.from_shelf = std::min(have.usable, purchase.need);
    stock[need.product].usable -= purchase.from_shelf;
    if (have.expired > 0) add_note(purchase.note, "shelf stock is past its shelf life and not counted on");
    const double missing = purchase.need - purchase.from_shelf;
    if (missing * kGrain > 1e-6) {
      buy(purchase, sold->packs, missing);
    } else {
      purchase.optimal = true;  // nothing to buy costs nothing
    }
    purchases.push_back(std::move(purchase));
  }
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return purchases;
}

}  // namespace tackcloth::materials
