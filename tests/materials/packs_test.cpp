#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "materials/pack_cover.h"
#include "sample_catalog.h"

namespace tackcloth::materials {
namespace {

Need need_of(const std::string& id, double amount) { return {id, "l", amount, amount, {}}; }

struct Best {
  std::int64_t cost = std::numeric_limits<std::int64_t>::max();
  std::int64_t amount = std::numeric_limits<std::int64_t>::max();
};

// Every combination of counts that could matter: the outside check of the integer programme.
void try_all(const std::vector<PackChoice>& packs, std::size_t at, std::int64_t need, std::int64_t cost,
             std::int64_t amount, Best& best) {
  if (amount >= need) {
    if (cost < best.cost || (cost == best.cost && amount < best.amount)) best = {cost, amount};
    return;
  }
  if (at == packs.size()) return;
  for (std::int64_t count = 0;; ++count) {
    const std::int64_t now = amount + count * packs[at].amount;
    try_all(packs, at + 1, need, cost + count * packs[at].price, now, best);
    if (now >= need) return;
  }
}

TEST(Cover, SameAsBruteForceOnAThousandCases) {
  std::mt19937_64 random(11);
  const auto draw = [&](int from, int to) { return std::uniform_int_distribution<int>(from, to)(random); };
  for (int round = 0; round < 1000; ++round) {
    std::vector<PackChoice> packs;
    for (int i = draw(1, 4); i > 0; --i) packs.push_back({draw(1, 30) * 250, draw(1, 60) * 25});
    const std::int64_t need = draw(1, 40'000);
    const Cover cover = cheapest_cover(packs, need);
    std::int64_t cost = 0, amount = 0;
    for (std::size_t i = 0; i < packs.size(); ++i) {
      cost += cover.counts[i] * packs[i].price;
      amount += cover.counts[i] * packs[i].amount;
    }
    Best best;
    try_all(packs, 0, need, 0, 0, best);
    ASSERT_GE(amount, need) << "round " << round;
    ASSERT_TRUE(cover.proven) << "round " << round;
    ASSERT_EQ(cost, best.cost) << "round " << round;
    ASSERT_EQ(amount, best.amount) << "round " << round;
  }
}

Purchase one(const std::string& product, double amount, std::vector<Shelf> shelf = {}) {
  const auto bought = choose_packs({need_of(product, amount)}, shelf, sample_catalog());
  if (!bought) {
    ADD_FAILURE() << bought.error().front().what;
    return {};
  }
  return bought->front();
}

TEST(Packs, CheapestMixIsBought) {
  const Purchase purchase = one("varnish", 0.9);
  ASSERT_EQ(purchase.lines.size(), 2u);  // 0.75 + 0.25 costs 28.50, twice 0.75 costs 39.00
  EXPECT_EQ(purchase.total.minor, 2850);
  EXPECT_TRUE(purchase.optimal);
  EXPECT_NEAR(purchase.left_over, 0.1, 1e-9);
  EXPECT_EQ(purchase.name, "Invented varnish");
}

TEST(Packs, LinesAddUpToTheTotal) {
  for (double amount = 0.1; amount < 9; amount += 0.37) {
    const Purchase purchase = one("varnish", amount);
    Money sum;
    double bought = 0;
    for (const Purchase::Line& line : purchase.lines) {
      EXPECT_EQ(line.total.minor, line.each.minor * line.count);
      sum += line.total;
      bought += line.pack * line.count;
    }
    EXPECT_EQ(sum, purchase.total);
    EXPECT_GE(bought + 1e-9, amount);
    EXPECT_NEAR(bought - amount, purchase.left_over, 1e-9);
  }
}

TEST(Packs, AnExactFitBuysNoMore) { EXPECT_EQ(one("varnish", 0.75).lines.front().count, 1); }

TEST(Packs, ShelfIsUsedFirst) {
  const Purchase purchase = one("varnish", 0.9, {{"varnish", 0.4, 3}, {"varnish", 0.3, 11}});
  EXPECT_NEAR(purchase.from_shelf, 0.7, 1e-12);
  EXPECT_EQ(purchase.total.minor, 900);
  const Purchase enough = one("varnish", 0.2, {{"varnish", 0.4, 3}});
  EXPECT_TRUE(enough.lines.empty());
  EXPECT_TRUE(enough.optimal);
  EXPECT_EQ(enough.total.minor, 0);
}

TEST(Packs, OldStockIsNotCountedOn) {
  const Purchase purchase = one("varnish", 0.2, {{"varnish", 0.4, 13}});
  EXPECT_DOUBLE_EQ(purchase.from_shelf, 0);
  EXPECT_NE(purchase.note.find("shelf life"), std::string::npos);
  EXPECT_EQ(purchase.total.minor, 900);
}

TEST(Packs, NoPackSoldIsExplained) {
  const Purchase purchase = one("rare", 0.4);
  EXPECT_NE(purchase.note.find("no pack sold"), std::string::npos);
  EXPECT_FALSE(purchase.optimal);
  EXPECT_NEAR(purchase.left_over, -0.4, 1e-12);
  EXPECT_TRUE(one("rare", 0.4, {{"rare", 1, 0}}).note.empty());
}

TEST(Packs, AMissingPriceIsSaid) {
  const Purchase purchase = one("gift", 1.5);
  EXPECT_NE(purchase.note.find("no price"), std::string::npos);
  EXPECT_EQ(purchase.lines.front().count, 2);
}

TEST(Packs, AbrasivesAreSoldByTheSheet) {
  const Purchase purchase = one("P120", 7);
  EXPECT_EQ(purchase.total.minor, 770);
  EXPECT_EQ(purchase.lines.front().count, 7);
}

TEST(Packs, MistakesAreNamed) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  catalog::Catalog catalog = sample_catalog();
  catalog.products[1].packs[0].price = {-5};
  const auto bought =
      choose_packs({need_of("nosuch", 1), need_of("varnish", nan), need_of("varnish", 1e9), need_of("tape", 1)},
                   {{"varnish", -1, 0}, {"nosuch", 1, 0}}, catalog);
  ASSERT_FALSE(bought.has_value());
  EXPECT_EQ(bought.error().size(), 6u);
}

}  // namespace
}  // namespace tackcloth::materials
