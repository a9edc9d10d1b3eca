// Packs over several sellers against trying every combination.
#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "materials/split_cover.h"

namespace tackcloth::materials {
namespace {

// Every combination of counts up to what one pack alone would take; nothing shared with the programme but cost_of,
// which is checked by hand below.
class Brute {
 public:
  Brute(const std::vector<PackOffer>& offers, const std::vector<SellerTerms>& sellers,
        const std::vector<SplitNeed>& needs)
      : offers_(offers), sellers_(sellers), needs_(needs), counts_(offers.size(), 0) {
    go(0);
  }
  std::int64_t best() const { return best_; }

 private:
  void go(std::size_t i) {
    if (i == offers_.size()) {
      for (std::size_t p = 0; p < needs_.size(); ++p) {
        std::int64_t got = 0;
        int seller = -1;
        for (std::size_t k = 0; k < offers_.size(); ++k) {
          if (offers_[k].product != static_cast<int>(p) || counts_[k] == 0) continue;
          got += counts_[k] * offers_[k].amount;
          if (needs_[p].one_seller && seller >= 0 && seller != offers_[k].seller) return;
          seller = offers_[k].seller;
        }
        if (got < needs_[p].amount) return;
      }
      best_ = std::min(best_, cost_of(counts_, offers_, sellers_));
      return;
    }
    const std::int64_t need = needs_[static_cast<std::size_t>(offers_[i].product)].amount;
    for (int n = 0;; ++n) {
      counts_[i] = n;
      go(i + 1);
      if (n * offers_[i].amount >= need) break;
    }
    counts_[i] = 0;
  }
  const std::vector<PackOffer>& offers_;
  const std::vector<SellerTerms>& sellers_;
  const std::vector<SplitNeed>& needs_;
  std::vector<int> counts_;
  std::int64_t best_ = std::numeric_limits<std::int64_t>::max();
};

TEST(Split, CostByHand) {
  const std::vector<PackOffer> offers = {{0, 0, 10, 500}, {0, 1, 10, 450}};
  const std::vector<SellerTerms> sellers = {{300, {}}, {690, 900}};
  EXPECT_EQ(cost_of({1, 0}, offers, sellers), 800);
  EXPECT_EQ(cost_of({0, 1}, offers, sellers), 450 + 690);
  EXPECT_EQ(cost_of({0, 2}, offers, sellers), 900);  // at the limit: free
  EXPECT_EQ(cost_of({1, 1}, offers, sellers), 500 + 300 + 450 + 690);
  EXPECT_EQ(cost_of({0, 0}, offers, sellers), 0);
}

TEST(Split, DeliveryDecidesTheSeller) {
  // Two cans cost less apart, but one delivery is saved by buying both at one place.
  const std::vector<PackOffer> offers = {{0, 0, 10, 1000}, {1, 0, 10, 1200}, {0, 1, 10, 900}, {1, 1, 10, 1500}};
  const auto split = cheapest_split(offers, {{500, {}}, {500, {}}}, {{10, false}, {10, false}});
  ASSERT_TRUE(split.has_value());
  EXPECT_EQ(split->cost, 2700);
  EXPECT_EQ(split->counts, (std::vector<int>{1, 1, 0, 0}));
  EXPECT_TRUE(split->proven);
}

TEST(Split, OneBatchComesFromOneSeller) {
  const std::vector<PackOffer> offers = {{0, 0, 10, 500}, {0, 1, 5, 300}};
  const std::vector<SellerTerms> sellers = {{0, {}}, {0, {}}};
  EXPECT_EQ(cheapest_split(offers, sellers, {{15, false}})->cost, 800);  // one of each
  EXPECT_EQ(cheapest_split(offers, sellers, {{15, true}})->cost, 900);   // three small cans
}

TEST(Split, NoOfferIsNothing) {
  EXPECT_FALSE(cheapest_split({{0, 0, 10, 100}}, {{0, {}}}, {{5, false}, {5, false}}).has_value());
  EXPECT_TRUE(cheapest_split({}, {}, {}).has_value());
}

TEST(Split, AThousandSmallCasesAgreeWithTryingEverything) {
  std::mt19937_64 random(17);
  const auto pick = [&](int low, int high) { return std::uniform_int_distribution<int>(low, high)(random); };
  int batches = 0, free = 0;
  for (int i = 0; i < 1000; ++i) {
    const int products = pick(1, 3), shops = pick(1, 3);
    std::vector<SplitNeed> needs;
    for (int p = 0; p < products; ++p) needs.push_back({pick(3, 30), pick(0, 2) == 0});
    std::vector<SellerTerms> sellers;
    for (int s = 0; s < shops; ++s) {
      sellers.push_back({pick(0, 900), {}});
      if (pick(0, 1)) sellers.back().free_from = pick(0, 4000);
    }
    std::vector<PackOffer> offers;
    for (int p = 0; p < products; ++p)
      for (int s = 0; s < shops; ++s)
        if (pick(0, 3) > 0 || s == 0)
          for (int k = pick(1, products * shops > 4 ? 1 : 2); k > 0; --k)
            offers.push_back({p, s, pick(8, 25), pick(100, 2500)});
    const auto split = cheapest_split(offers, sellers, needs);
    ASSERT_TRUE(split.has_value());
    ASSERT_TRUE(split->proven) << i;
    ASSERT_EQ(split->cost, Brute(offers, sellers, needs).best()) << "case " << i;
    ASSERT_EQ(split->cost, cost_of(split->counts, offers, sellers));
    for (const SplitNeed& need : needs) batches += need.one_seller;
    for (const SellerTerms& seller : sellers) free += seller.free_from.has_value();
  }
  EXPECT_GT(batches, 200);
  EXPECT_GT(free, 200);
}

}  // namespace
}  // namespace tackcloth::materials
