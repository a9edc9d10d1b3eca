#include "materials/sellers.h"

#include <algorithm>
#include <cmath>

#include "materials/pack_cover.h"
#include "materials/split_cover.h"
#include "reading/table.h"
#include "units/quantity.h"

namespace tackcloth::materials {
namespace {

constexpr std::int64_t kDearestMinor = 100'000'000;

std::optional<Money> read_price(reading::Table& table, std::string_view key, std::int64_t least) {
  const auto text = table.text(key);
  if (!text) return std::nullopt;
  const auto money = parse_money(*text);
  if (!money) {
    table.problem(key, money.error().what, money.error().expected, money.error().remedy);
    return std::nullopt;
  }
  if (money->minor >= least && money->minor <= kDearestMinor) return *money;
  table.problem(key, "'" + std::string(key) + "' is " + to_text(*money),
                least > 0 ? "a price above nothing" : "money from 0 to 1000000.00",
                least > 0 ? "write what the pack costs, or take it out" : "check the figure");
  return std::nullopt;
}

std::string unit_of(const std::string& id, const catalog::Catalog& catalog) {
  const catalog::Product* product = catalog.product(id);
  return product ? product->unit : "sheet";
}

// Ids that a job buys: products, and abrasives as the plan calls them.
std::vector<std::string> sold_ids(const catalog::Catalog& catalog) {
  std::vector<std::string> ids;
  for (const catalog::Product& product : catalog.products) ids.push_back(product.id);
  for (const catalog::Abrasive& abrasive : catalog.abrasives)
    ids.push_back("abrasive_p" + std::to_string(abrasive.grit));
  return ids;
}

SellerPack read_pack(reading::Table row, const std::vector<std::string>& ids, const catalog::Catalog& catalog) {
  SellerPack pack;
  pack.product = row.need_text("product");
  if (!pack.product.empty() && std::find(ids.begin(), ids.end(), pack.product) == ids.end()) {
    const auto near = reading::nearest(pack.product, ids);
    row.problem("product", "there is no product '" + pack.product.substr(0, 60) + "'", "the id of a product",
                near ? "did you mean '" + *near + "'?" : "look it up, or add it");
  }
  const std::string unit = unit_of(pack.product, catalog);
  if (!row.has("amount")) row.need_text("amount");
  if (unit == "l" || (unit == "m" && row.is_text("amount"))) {
    const bool litres = unit == "l";
    const auto amount = row.quantity("amount", litres ? units::parse_volume_l : units::parse_length_mm,
                                     litres ? 0.001 : 1, litres ? kMost : kMost * 1000,
                                     litres ? "a volume, as \"1 l\" or \"1 qt\"" : "a length, as \"50 m\"");
    pack.amount = amount.value_or(0) / (litres ? 1 : 1000);
  } else {
    pack.amount = row.number("amount", 0.001, kMost).value_or(0);
  }
  if (!row.has("price")) row.need_text("price");
  pack.price = read_price(row, "price", 1).value_or(Money{});
  row.finish();
  return pack;
}

Results<std::vector<Seller>> read(reading::Document& document, const catalog::Catalog& catalog) {
  reading::Table root = document.root();
  const std::vector<std::string> ids = sold_ids(catalog);
  std::vector<Seller> sellers;
  for (reading::Table& row : root.tables("seller")) {
    Seller seller;
    seller.id = row.need_text("id");
    seller.name = row.text("name").value_or(seller.id);
    for (const Seller& other : sellers)
      if (other.id == seller.id)
        row.problem("id", "there is a seller '" + seller.id.substr(0, 60) + "' already",
                    "every seller with an id of its own", "rename one, or join the two");
    seller.delivery = read_price(row, "delivery", 0).value_or(Money{});
    seller.free_from = read_price(row, "free_from", 0);
    for (const reading::Table& pack : row.tables("pack")) seller.packs.push_back(read_pack(pack, ids, catalog));
    if (seller.packs.empty())
      row.problem("pack", "this seller sells nothing", "one [[seller.pack]] or more", "add packs, or take it out");
    row.finish();
    sellers.push_back(std::move(seller));
  }
  if (sellers.empty())
    root.problem("seller", "there is no seller in this file", "one [[seller]] or more", "add [[seller]] with an id");
  root.finish();
  if (!document.problems().empty()) return tl::unexpected(document.problems());
  return sellers;
}

bool is_paint(const catalog::Product* product) {
  return product != nullptr && (product->kind == catalog::Kind::paint || product->kind == catalog::Kind::metal_paint);
}

}  // namespace

Results<std::vector<Seller>> read_sellers(const std::string& path, const catalog::Catalog& catalog) {
  auto document = reading::Document::open(path);
  if (!document) return tl::unexpected(std::vector<Problem>{document.error()});
  return read(**document, catalog);
}

Results<std::vector<Seller>> parse_sellers(std::string_view text, const std::string& name,
                                           const catalog::Catalog& catalog) {
  auto document = reading::Document::parse(text, name);
  if (!document) return tl::unexpected(std::vector<Problem>{document.error()});
  return read(**document, catalog);
}

Baskets choose_sellers(const std::vector<Purchase>& purchases, const std::vector<Seller>& sellers,
                       const catalog::Catalog& catalog) {
  Baskets chosen;
  std::vector<SellerTerms> terms;
  for (const Seller& seller : sellers) {
    terms.push_back({seller.delivery.minor, std::nullopt});
    if (seller.free_from) terms.back().free_from = seller.free_from->minor;
  }
  std::vector<SplitNeed> needs;
  std::vector<PackOffer> offers;
  std::vector<std::pair<const Purchase*, const SellerPack*>> behind;  // one an offer
  for (const Purchase& purchase : purchases) {
    const double missing = purchase.need - purchase.from_shelf;
    if (!(missing * kGrain > 1e-6)) continue;
    const auto before = offers.size();
    for (std::size_t s = 0; s < sellers.size(); ++s)
      for (const SellerPack& pack : sellers[s].packs) {
        if (pack.product != purchase.product) continue;
        offers.push_back({static_cast<int>(needs.size()), static_cast<int>(s),
                          static_cast<std::int64_t>(std::floor(pack.amount * kGrain + 1e-6)), pack.price.minor});
        behind.emplace_back(&purchase, &pack);
      }
    if (offers.size() == before) {
      chosen.notes.push_back(purchase.name + ": none of these sellers has it, it is not in the total");
      continue;
    }
    needs.push_back(
        {static_cast<std::int64_t>(std::ceil(missing * kGrain - 1e-6)), is_paint(catalog.product(purchase.product))});
  }
  const auto split = cheapest_split(offers, terms, needs);
  if (!split) return chosen;  // every need has an offer: it does not happen
  chosen.optimal = split->proven;
  for (std::size_t s = 0; s < sellers.size(); ++s) {
    Basket basket;
    basket.seller = sellers[s].id;
    basket.name = sellers[s].name;
    for (std::size_t i = 0; i < offers.size(); ++i) {
      if (offers[i].seller != static_cast<int>(s) || split->counts[i] == 0) continue;
      const auto& [purchase, pack] = behind[i];
      const Money total{pack->price.minor * split->counts[i]};
      basket.lines.push_back(
          {purchase->product, purchase->name, purchase->unit, pack->amount, split->counts[i], pack->price, total});
      basket.goods += total;
    }
    if (basket.lines.empty()) continue;
    if (!sellers[s].free_from || basket.goods < *sellers[s].free_from) basket.delivery = sellers[s].delivery;
    basket.total = basket.goods + basket.delivery;
    chosen.total += basket.total;
    chosen.baskets.push_back(std::move(basket));
  }
  return chosen;
}

}  // namespace tackcloth::materials
