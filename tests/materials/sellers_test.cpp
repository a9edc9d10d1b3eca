// A price list read, and a job's purchases put into baskets.
#include "materials/sellers.h"

#include <gtest/gtest.h>

namespace tackcloth::materials {
namespace {

catalog::Catalog cans() {
  catalog::Catalog catalog;
  catalog::Product varnish, paint, rag;
  varnish.id = varnish.name = "varnish";
  paint.id = paint.name = "paint";
  paint.kind = catalog::Kind::paint;
  rag.id = rag.name = "rag";
  rag.unit = "piece";
  catalog.products = {varnish, paint, rag};
  return catalog;
}

const std::string kList = R"(
[[seller]]
id = "corner"
name = "The shop at the corner"
[[seller.pack]]
product = "varnish"
amount = "1 l"
price = "24.00"
[[seller.pack]]
product = "paint"
amount = "0.5 l"
price = "12.00"
[[seller]]
id = "post"
delivery = "6.90"
free_from = "40.00"
[[seller.pack]]
product = "varnish"
amount = "1 l"
price = "19.00"
[[seller.pack]]
product = "paint"
amount = "0.75 l"
price = "13.00"
[[seller.pack]]
product = "rag"
amount = 10
price = "9.00"
)";

Purchase wanted(const std::string& product, double need, double from_shelf = 0) {
  Purchase purchase;
  purchase.product = purchase.name = product;
  purchase.unit = product == "rag" ? "piece" : "l";
  purchase.need = need;
  purchase.from_shelf = from_shelf;
  return purchase;
}

TEST(Sellers, CheapestWithDelivery) {
  const auto sellers = parse_sellers(kList, "list.toml", cans());
  ASSERT_TRUE(sellers.has_value()) << to_text(sellers.error().front());
  // One litre alone: 19.00 + 6.90 is dearer than 24.00 at the corner.
  const Baskets one = choose_sellers({wanted("varnish", 0.9)}, *sellers, cans());
  ASSERT_EQ(one.baskets.size(), 1u);
  EXPECT_EQ(one.baskets[0].seller, "corner");
  EXPECT_EQ(one.total.minor, 2400);
  EXPECT_TRUE(one.optimal);
  // With rags, which only the post has, the delivery is paid anyway; with paint it is free: 19 + 13 + 9 = 41.
  const Baskets all =
      choose_sellers({wanted("varnish", 0.9), wanted("paint", 0.6), wanted("rag", 4)}, *sellers, cans());
  ASSERT_EQ(all.baskets.size(), 1u);
  EXPECT_EQ(all.baskets[0].delivery.minor, 0);
  EXPECT_EQ(all.total.minor, 4100);
}

TEST(Sellers, ShelfFirstAndWhatNobodySells) {
  const auto sellers = parse_sellers(kList, "list.toml", cans());
  const Baskets none = choose_sellers({wanted("varnish", 0.9, 0.9), wanted("glue", 1)}, *sellers, cans());
  EXPECT_TRUE(none.baskets.empty());
  ASSERT_EQ(none.notes.size(), 1u);
  EXPECT_NE(none.notes[0].find("glue"), std::string::npos);
  EXPECT_EQ(none.total.minor, 0);
}

TEST(Sellers, MixedPaintComesFromOne) {
  const auto sellers = parse_sellers(kList, "list.toml", cans());
  const Baskets made = choose_sellers({wanted("paint", 1.2)}, *sellers, cans());
  ASSERT_EQ(made.baskets.size(), 1u);
  Money sum;
  for (const Basket& basket : made.baskets) sum += basket.goods + basket.delivery;
  EXPECT_EQ(sum, made.total);
}

TEST(Sellers, MistakesAreTold) {
  const auto problem = [](const std::string& from, const std::string& to) {
    std::string text = kList;
    text.replace(text.find(from), from.size(), to);
    const auto read = parse_sellers(text, "list.toml", cans());
    return read ? std::string() : to_text(read.error().front());
  };
  EXPECT_NE(problem("price = \"24.00\"", "price = \"0\"").find("above nothing"), std::string::npos);
  EXPECT_NE(problem("product = \"varnish\"", "product = \"varnihs\"").find("did you mean 'varnish'"),
            std::string::npos);
  EXPECT_NE(problem("amount = \"1 l\"", "amount = \"0 l\"").find("list.toml:"), std::string::npos);
  EXPECT_NE(problem("id = \"post\"", "id = \"corner\"").find("already"), std::string::npos);
  EXPECT_NE(problem("delivery = \"6.90\"", "delivery = \"-1\"").find("delivery"), std::string::npos);
  EXPECT_FALSE(parse_sellers("", "list.toml", cans()).has_value());
}

}  // namespace
}  // namespace tackcloth::materials
