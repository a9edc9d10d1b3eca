#include "materials/stock.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tackcloth::materials {
namespace {

constexpr double kDaysPerMonth = 30.44;  // of 365.2425 / 12, as for the ages of a job's shelf

Instant months_after(Instant start, double months) {
  return start + Minutes(std::llround(months * kDaysPerMonth * 24 * 60));
}

bool over(const Lot& lot, Instant at) { return lot.use_by && *lot.use_by < at; }

class Keeper {
 public:
  Keeper(std::string product, Keeps keeps) : keeps_(keeps) { book_.product = std::move(product); }

  void take(const Movement& m) {
    switch (m.move) {
      case Move::there:
        book_.there += m.amount;
        put({m.amount, m.bought, m.opened, {}});
        break;
      case Move::came:
        book_.told = true;
        book_.came += m.amount;
        put({m.amount, m.bought ? *m.bought : m.when, m.opened, {}});
        break;
      case Move::used:
        book_.used += m.amount;
        draw(m.amount, m.when, m.by, false);
        break;
      case Move::gone:
        book_.told = true;
        book_.gone += m.amount;
        draw(m.amount, m.when, m.by, true);
        break;
      case Move::counted:
        book_.told = true;
        book_.counted = m.when;
        count(m);
        break;
    }
  }

  Book closed(Instant now) {
    sort(now);
    for (const Lot& lot : book_.lots) {
      book_.on_shelf += lot.amount;
      if (over(lot, now))
        book_.expired += lot.amount;
      else if (lot.use_by && (!book_.use_by || *lot.use_by < *book_.use_by))
        book_.use_by = lot.use_by;
    }
    book_.on_shelf -= owed();
    return std::move(book_);
  }

 private:
  std::int64_t owed() const {
    std::int64_t sum = 0;
    for (const Short& one : book_.shorts) sum += one.amount;
    return sum;
  }

  void date(Lot& lot) const {
    lot.use_by.reset();
    const auto ends = [&](std::optional<Instant> from, std::optional<double> months) {
      if (!from || !months) return;
      const Instant end = months_after(*from, *months);
      if (!lot.use_by || end < *lot.use_by) lot.use_by = end;
    };
    ends(lot.bought, keeps_.closed_months);
    ends(lot.opened, keeps_.opened_months ? keeps_.opened_months : keeps_.closed_months);
  }

  // Those whose date is over last, as they should not be used; then by date; open ones before others.
  void sort(Instant at) {
    std::stable_sort(book_.lots.begin(), book_.lots.end(), [&](const Lot& a, const Lot& b) {
      if (over(a, at) != over(b, at)) return over(b, at);
      if (a.use_by != b.use_by) return a.use_by && (!b.use_by || *a.use_by < *b.use_by);
      return a.opened.has_value() && !b.opened.has_value();
    });
  }

  // What was drawn before it was written down that it came is settled first.
  void put(Lot lot) {
    while (lot.amount > 0 && !book_.shorts.empty()) {
      Short& first = book_.shorts.front();
      const std::int64_t part = std::min(lot.amount, first.amount);
      lot.amount -= part;
      first.amount -= part;
      if (!lot.opened) lot.opened = std::max(first.when, lot.bought.value_or(first.when));
      if (first.amount == 0) book_.shorts.erase(book_.shorts.begin());
    }
    if (lot.amount == 0) return;
    date(lot);
    book_.lots.push_back(lot);
  }

  void draw(std::int64_t amount, Instant when, const std::string& by, bool oldest) {
    sort(when);
    if (oldest)
      std::stable_sort(book_.lots.begin(), book_.lots.end(),
                       [](const Lot& a, const Lot& b) { return a.use_by && (!b.use_by || *a.use_by < *b.use_by); });
    for (Lot& lot : book_.lots) {
      const std::int64_t part = std::min(amount, lot.amount);
      if (part == 0) continue;
      lot.amount -= part;
      amount -= part;
      if (!lot.opened) {
        lot.opened = when;
        date(lot);
      }
    }
    std::erase_if(book_.lots, [](const Lot& lot) { return lot.amount == 0; });
    if (amount > 0) book_.shorts.push_back({by, when, amount});
  }

  void count(const Movement& m) {
    std::int64_t had = 0;
    for (const Lot& lot : book_.lots) had += lot.amount;
    book_.found += m.amount - (had - owed());
    book_.shorts.clear();
    if (m.bought || m.opened || book_.lots.empty()) {
      book_.lots.clear();
      put({m.amount, m.bought, m.opened, {}});
    } else if (m.amount < had) {
      draw(had - m.amount, m.when, m.by, false);
    } else {
      sort(m.when);
      book_.lots.front().amount += m.amount - had;
    }
  }

  Keeps keeps_;
  Book book_;
};

}  // namespace

std::int64_t stock_grains(double amount) { return std::llround(amount * kStockGrain); }
double stock_amount(std::int64_t grains) { return double(grains) / kStockGrain; }

std::vector<Book> books(std::vector<Movement> movements, const KeepsOf& keeps, Instant now) {
  std::stable_sort(movements.begin(), movements.end(), [](const Movement& a, const Movement& b) {
    if ((a.move == Move::there) != (b.move == Move::there)) return a.move == Move::there;
    if (a.when != b.when) return a.when < b.when;
    return a.move == Move::used && b.move != Move::used;
  });
  std::map<std::string, Keeper> keepers;
  for (const Movement& movement : movements)
    keepers.try_emplace(movement.product, movement.product, keeps(movement.product)).first->second.take(movement);
  std::vector<Book> closed;
  for (auto& [product, keeper] : keepers) closed.push_back(keeper.closed(now));
  return closed;
}

std::int64_t usable_at(const Book& book, Instant when) {
  std::int64_t sum = 0;
  for (const Lot& lot : book.lots)
    if (!over(lot, when)) sum += lot.amount;
  return sum;
}

}  // namespace tackcloth::materials
