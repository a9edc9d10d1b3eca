// The shelf as a book, against a shelf of single grains that are moved by hand, one at a time.
#include "materials/stock.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>

namespace tackcloth::materials {
namespace {

Instant at(int minute) { return Instant(Minutes(minute)); }
constexpr double kMonthMin = 30.44 * 24 * 60;

Keeps for_ever(const std::string&) { return {}; }

Movement move(Move word, std::int64_t amount, int minute, std::string by = "") {
  return {word, "varnish", amount, at(minute), {}, {}, std::move(by)};
}

Book one(std::vector<Movement> movements, const KeepsOf& keeps = for_ever, int now = 1'000'000'000) {
  const auto all = books(std::move(movements), keeps, at(now));
  EXPECT_EQ(all.size(), 1u);
  return all.empty() ? Book{} : all.front();
}

TEST(Stock, BoughtLessUsedIsLeft) {
  const Book book = one({move(Move::came, 10'000, 10), move(Move::used, 2'500, 20, "table-03")});
  EXPECT_EQ(book.on_shelf, 7'500);
  EXPECT_TRUE(book.shorts.empty());
  ASSERT_EQ(book.lots.size(), 1u);
  EXPECT_EQ(book.lots[0].bought, at(10));
  EXPECT_EQ(book.lots[0].opened, at(20));
}

TEST(Stock, BelowZeroNamesTheStepsThatDrewIt) {
  const Book book = one({move(Move::came, 1'000, 10), move(Move::used, 800, 20, "table-03"),
                         move(Move::used, 700, 30, "table-05"), move(Move::used, 100, 40, "chair-02")});
  EXPECT_EQ(book.on_shelf, -600);
  ASSERT_EQ(book.shorts.size(), 2u);
  EXPECT_EQ(book.shorts[0].by, "table-05");
  EXPECT_EQ(book.shorts[0].amount, 500);
  EXPECT_EQ(book.shorts[1].by, "chair-02");
  // What came and is told late settles it, from the first on.
  const Book told =
      one({move(Move::came, 1'000, 10), move(Move::used, 800, 20, "table-03"), move(Move::used, 700, 30, "table-05"),
           move(Move::used, 100, 40, "chair-02"), move(Move::came, 550, 50)});
  EXPECT_EQ(told.on_shelf, -50);
  ASSERT_EQ(told.shorts.size(), 1u);
  EXPECT_EQ(told.shorts[0].by, "chair-02");
}

TEST(Stock, ACountHoldsAndSaysHowFarTheBookWasOff) {
  const Book book =
      one({move(Move::used, 300, 5, "a-01"), move(Move::counted, 6'000, 10), move(Move::used, 1'000, 11)});
  EXPECT_EQ(book.on_shelf, 5'000);
  EXPECT_EQ(book.found, 6'300);
  EXPECT_TRUE(book.shorts.empty());
  // What is done in the minute of the count was used before it.
  EXPECT_EQ(one({move(Move::counted, 6'000, 10), move(Move::used, 1'000, 10)}).on_shelf, 6'000);
  // What came in that minute and is told after it is not in it.
  EXPECT_EQ(one({move(Move::counted, 6'000, 10), move(Move::came, 1'000, 10)}).on_shelf, 7'000);
  EXPECT_EQ(one({move(Move::counted, 0, 10)}).on_shelf, 0);
}

TEST(Stock, PastItsDateIsThereAndNotCountedOn) {
  const KeepsOf year = [](const std::string&) { return Keeps{12, 3}; };
  const int opened = static_cast<int>(kMonthMin);
  const std::vector<Movement> movements = {move(Move::came, 1'000, 0), move(Move::used, 100, opened, "a-01")};
  const Book fresh = one(movements, year, opened + static_cast<int>(2.9 * kMonthMin));
  EXPECT_EQ(fresh.expired, 0);
  ASSERT_TRUE(fresh.use_by.has_value());
  EXPECT_NEAR(double(fresh.use_by->time_since_epoch().count()), opened + 3 * kMonthMin, 1);
  const Book old = one(movements, year, opened + static_cast<int>(3.1 * kMonthMin));
  EXPECT_EQ(old.on_shelf, 900);
  EXPECT_EQ(old.expired, 900);
  EXPECT_FALSE(old.use_by.has_value());
  EXPECT_EQ(usable_at(old, at(opened)), 900);
  EXPECT_EQ(usable_at(old, at(opened + static_cast<int>(4 * kMonthMin))), 0);
  // Closed it keeps a year.
  EXPECT_EQ(one({move(Move::came, 1'000, 0)}, year, static_cast<int>(11.9 * kMonthMin)).expired, 0);
  EXPECT_EQ(one({move(Move::came, 1'000, 0)}, year, static_cast<int>(12.1 * kMonthMin)).expired, 1'000);
}

TEST(Stock, TheCanThatEndsFirstIsUsedFirstAndOneThatIsOverLast) {
  const KeepsOf year = [](const std::string&) { return Keeps{12, 12}; };
  const auto came = [](std::int64_t amount, double months) {
    Movement one = move(Move::came, amount, static_cast<int>(20 * kMonthMin));
    one.bought = at(static_cast<int>(months * kMonthMin));
    return one;
  };
  const int now = static_cast<int>(21 * kMonthMin);
  const Book book = one({came(500, 1), came(300, 12), came(400, 18), move(Move::used, 350, now, "a-01")}, year, now);
  ASSERT_EQ(book.lots.size(), 2u);  // 300 of month 12 and 50 of month 18 went
  EXPECT_EQ(book.lots[0].amount, 350);
  EXPECT_EQ(book.lots[1].amount, 500);
  EXPECT_EQ(book.expired, 500);
  // What is thrown away is the old one.
  const Book thrown = one({came(500, 1), came(300, 12), move(Move::gone, 500, now)}, year, now);
  EXPECT_EQ(thrown.expired, 0);
  EXPECT_EQ(thrown.on_shelf, 300);
}

// One grain at a time: each knows its can, and a hand looks through all of them for the one to take.
struct ByHand {
  struct Can {
    std::optional<Instant> bought, opened;
  };
  std::map<std::string, Keeps> keeps;
  struct Side {
    std::vector<Can> cans;
    std::vector<int> grains;  // can of each
    std::vector<std::pair<std::string, Instant>> owed;
    std::int64_t came = 0, there = 0, used = 0, gone = 0, found = 0;
  };
  std::map<std::string, Side> sides;

  std::optional<Instant> end(const Can& can, const Keeps& keep) const {
    std::optional<Instant> first;
    if (can.bought && keep.closed_months) first = *can.bought + Minutes(std::llround(*keep.closed_months * kMonthMin));
    const auto open = keep.opened_months ? keep.opened_months : keep.closed_months;
    if (can.opened && open) {
      const Instant by = *can.opened + Minutes(std::llround(*open * kMonthMin));
      if (!first || by < *first) first = by;
    }
    return first;
  }
  void lay(Side& side, std::int64_t amount, Can can) {
    for (; amount > 0 && !side.owed.empty(); --amount) {
      if (!can.opened) can.opened = std::max(side.owed[0].second, can.bought.value_or(side.owed[0].second));
      side.owed.erase(side.owed.begin());
    }
    if (amount == 0) return;
    side.cans.push_back(can);
    for (; amount > 0; --amount) side.grains.push_back(static_cast<int>(side.cans.size()) - 1);
  }
  // Whether grain a is to be taken before grain b.
  bool before(const Side& side, const Keeps& keep, int a, int b, Instant when, bool oldest) const {
    const Can &ca = side.cans[static_cast<std::size_t>(a)], &cb = side.cans[static_cast<std::size_t>(b)];
    const auto ea = end(ca, keep), eb = end(cb, keep);
    const bool oa = ea && *ea < when, ob = eb && *eb < when;
    if (!oldest && oa != ob) return ob;
    if (ea != eb) return ea && (!eb || *ea < *eb);
    return ca.opened.has_value() && !cb.opened.has_value();
  }
  void take(Side& side, const Keeps& keep, std::int64_t amount, Instant when, const std::string& by, bool oldest) {
    for (; amount > 0; --amount) {
      if (side.grains.empty()) {
        side.owed.emplace_back(by, when);
        continue;
      }
      std::size_t best = 0;
      for (std::size_t k = 1; k < side.grains.size(); ++k)
        if (before(side, keep, side.grains[k], side.grains[best], when, oldest)) best = k;
      Can& can = side.cans[static_cast<std::size_t>(side.grains[best])];
      if (!can.opened) can.opened = when;
      side.grains.erase(side.grains.begin() + static_cast<std::ptrdiff_t>(best));
    }
  }
};

// Amounts below zero, ages and cans all agree; and the sums hold to the grain. Dates are so far apart that no two cans
// end at once, where either may be taken.
TEST(Stock, TwoThousandRandomBooksAgreeWithAHand) {
  std::mt19937_64 random(29);
  const auto draw = [&](int from, int to) { return std::uniform_int_distribution<int>(from, to)(random); };
  int short_books = 0, expired_books = 0;
  for (int round = 0; round < 2000; ++round) {
    ByHand hand;
    for (const char* id : {"a", "b"}) {
      if (draw(0, 3) > 0) hand.keeps[id].closed_months = draw(2, 24);
      if (draw(0, 1)) hand.keeps[id].opened_months = draw(1, 6);
    }
    std::vector<Movement> movements;
    int minute = 0;
    for (int k = draw(1, 25); k > 0; --k) {
      minute += draw(1, 2) * 17'321 + draw(1, 1'000);
      Movement one{static_cast<Move>(draw(1, 4)), draw(0, 2) ? "a" : "b", draw(0, 12), at(minute), {}, {},
                   "step-" + std::to_string(k)};
      if (one.move == Move::came && draw(0, 3) == 0) one.bought = at(minute - draw(0, 300'000));
      if (one.move == Move::counted && draw(0, 3) == 0) one.opened = at(minute - draw(0, 100'000));
      movements.push_back(one);
    }
    for (const Movement& m : movements) {
      ByHand::Side& side = hand.sides[m.product];
      const Keeps keep = hand.keeps[m.product];
      switch (m.move) {
        case Move::came:
          side.came += m.amount;
          hand.lay(side, m.amount, {m.bought ? *m.bought : m.when, m.opened});
          break;
        case Move::used:
          side.used += m.amount;
          hand.take(side, keep, m.amount, m.when, m.by, false);
          break;
        case Move::gone:
          side.gone += m.amount;
          hand.take(side, keep, m.amount, m.when, m.by, true);
          break;
        default: {
          const auto had = static_cast<std::int64_t>(side.grains.size());
          side.found += m.amount - had + static_cast<std::int64_t>(side.owed.size());
          side.owed.clear();
          if (m.opened || had == 0) {
            side.grains.clear();
            hand.lay(side, m.amount, {m.bought, m.opened});
          } else if (m.amount < had) {
            hand.take(side, keep, had - m.amount, m.when, m.by, false);
          } else {
            int best = side.grains[0];
            for (const int grain : side.grains)
              if (hand.before(side, keep, grain, best, m.when, false)) best = grain;
            for (std::int64_t more = m.amount - had; more > 0; --more) side.grains.push_back(best);
          }
        }
      }
    }
    std::vector<Movement> shuffled = movements;
    std::shuffle(shuffled.begin(), shuffled.end(), random);
    const Instant now = at(minute + draw(0, 400'000));
    const auto closed = books(
        shuffled, [&](const std::string& id) { return hand.keeps[id]; }, now);
    ASSERT_EQ(closed.size(), hand.sides.size());
    for (const Book& book : closed) {
      const ByHand::Side& side = hand.sides[book.product];
      const auto grains = static_cast<std::int64_t>(side.grains.size()),
                 owed = static_cast<std::int64_t>(side.owed.size());
      ASSERT_EQ(book.on_shelf, grains - owed) << "round " << round;
      ASSERT_EQ(book.on_shelf, book.there + book.came + book.found - book.used - book.gone) << "round " << round;
      ASSERT_EQ(book.came, side.came);
      ASSERT_EQ(book.used, side.used);
      ASSERT_EQ(book.gone, side.gone);
      ASSERT_EQ(book.found, side.found);
      std::int64_t expired = 0;
      std::map<std::optional<Instant>, std::int64_t> cans, theirs;
      for (const int grain : side.grains) {
        const auto end = hand.end(side.cans[static_cast<std::size_t>(grain)], hand.keeps[book.product]);
        ++cans[end];
        if (end && *end < now) ++expired;
      }
      for (const Lot& lot : book.lots) {
        ASSERT_GT(lot.amount, 0);
        theirs[lot.use_by] += lot.amount;
      }
      ASSERT_EQ(theirs, cans) << "round " << round;
      ASSERT_EQ(book.expired, expired) << "round " << round;
      ASSERT_EQ(usable_at(book, now), grains - expired);
      std::map<std::string, std::int64_t> who, they;
      for (const auto& [by, when] : side.owed) ++who[by];
      for (const Short& one : book.shorts) they[one.by] += one.amount;
      ASSERT_EQ(they, who) << "round " << round;
      short_books += owed > 0;
      expired_books += expired > 0;
    }
  }
  EXPECT_GT(short_books, 200);
  EXPECT_GT(expired_books, 200);
}

}  // namespace
}  // namespace tackcloth::materials
