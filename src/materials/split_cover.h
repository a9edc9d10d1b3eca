// Packs over several sellers with delivery, in whole units: the integer programme behind choose_sellers.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace tackcloth::materials {

struct SellerTerms {
  std::int64_t delivery = 0;                // minor units, >= 0, paid once when anything is bought there
  std::optional<std::int64_t> free_from{};  // goods of at least this much are delivered free
};

struct PackOffer {
  int product = 0, seller = 0;
  std::int64_t amount = 0;  // > 0
  std::int64_t price = 0;   // minor units, >= 0
};

struct SplitNeed {
  std::int64_t amount = 0;  // > 0
  bool one_seller = false;  // all of it from one seller: one batch
};

struct Split {
  std::vector<int> counts;  // one an offer
  std::int64_t cost = 0;    // goods and delivery
  bool proven = false;
};

// Least total of goods and delivery that covers every need, one a product. No pack is bought more often than would
// cover the need alone. Nothing when a product has no offer. CBC within a limit on nodes: the same input gives the same
// answer, and what comes back covers every need and is counted in whole numbers, proven or not.
std::optional<Split> cheapest_split(const std::vector<PackOffer>& offers, const std::vector<SellerTerms>& sellers,
                                    const std::vector<SplitNeed>& needs);

// Goods and delivery of these counts.
std::int64_t cost_of(const std::vector<int>& counts, const std::vector<PackOffer>& offers,
                     const std::vector<SellerTerms>& sellers);

}  // namespace tackcloth::materials
