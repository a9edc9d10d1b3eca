// Where to buy: each seller's packs and prices, and what delivery costs there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "materials/materials.h"

namespace tackcloth::materials {

struct SellerPack {
  std::string product;
  double amount = 0;  // litres, pieces, metres, as the product is counted
  Money price;
};
struct Seller {
  std::string id, name;
  Money delivery;                       // once an order
  std::optional<Money> free_from = {};  // goods of at least this much come free
  std::vector<SellerPack> packs = {};
};

// The price list of several sellers (TOML, docs/materials.md). All problems at once: an unknown product, a price of
// nothing, a size of nothing, the same id twice.
Results<std::vector<Seller>> read_sellers(const std::string& path, const catalog::Catalog& catalog);
Results<std::vector<Seller>> parse_sellers(std::string_view text, const std::string& name,
                                           const catalog::Catalog& catalog);

struct Basket {
  std::string seller, name;
  struct Line {
    std::string product, name, unit;
    double pack = 0;
    int count = 0;
    Money each, total;
  };
  std::vector<Line> lines;
  Money goods, delivery, total;  // total = goods + delivery
};
struct Baskets {
  std::vector<Basket> baskets;     // one a seller that is bought from, in the order of the list
  Money total;                     // of the baskets
  bool optimal = false;            // proven
  std::vector<std::string> notes;  // what none of them sells
};

// What is missing after the shelf, bought at least total of goods and delivery over all sellers. Paint is mixed to a
// colour: all of one paint comes from one seller, in one batch. What nobody sells is noted and left out.
Baskets choose_sellers(const std::vector<Purchase>& purchases, const std::vector<Seller>& sellers,
                       const catalog::Catalog& catalog);

}  // namespace tackcloth::materials
