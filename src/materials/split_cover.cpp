#include "materials/split_cover.h"

#include <map>
#include <numeric>
#include <utility>

#include "materials/integer_programme.h"

namespace tackcloth::materials {
namespace {

std::int64_t most_of(const PackOffer& offer, const std::vector<SplitNeed>& needs) {
  return (needs[static_cast<std::size_t>(offer.product)].amount + offer.amount - 1) / offer.amount;
}

bool covers(const std::vector<int>& counts, const std::vector<PackOffer>& offers, const std::vector<SplitNeed>& needs) {
  std::vector<std::int64_t> got(needs.size(), 0);
  std::vector<int> from(needs.size(), -1);
  for (std::size_t i = 0; i < offers.size(); ++i) {
    if (counts[i] < 0) return false;
    if (counts[i] == 0) continue;
    const auto p = static_cast<std::size_t>(offers[i].product);
    got[p] += counts[i] * offers[i].amount;
    if (needs[p].one_seller && from[p] >= 0 && from[p] != offers[i].seller) return false;
    from[p] = offers[i].seller;
  }
  for (std::size_t p = 0; p < needs.size(); ++p)
    if (got[p] < needs[p].amount) return false;
  return true;
}

// For each product enough of the one pack that does it cheapest alone, delivery not counted.
std::vector<int> by_one_pack(const std::vector<PackOffer>& offers, const std::vector<SplitNeed>& needs) {
  std::vector<int> counts(offers.size(), 0);
  for (std::size_t p = 0; p < needs.size(); ++p) {
    std::size_t best = offers.size();
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (std::size_t i = 0; i < offers.size(); ++i) {
      if (offers[i].product != static_cast<int>(p)) continue;
      const std::int64_t cost = most_of(offers[i], needs) * offers[i].price;
      if (cost < least) {
        least = cost;
        best = i;
      }
    }
    if (best < offers.size()) counts[best] = static_cast<int>(most_of(offers[best], needs));
  }
  return counts;
}

// The programme: columns are the offers, then for each seller "used" and "free", then "from this seller" for each
// product of one batch.
class Programme {
 public:
  Programme(const std::vector<PackOffer>& offers, const std::vector<SellerTerms>& sellers,
            const std::vector<SplitNeed>& needs)
      : offers_(offers), sellers_(sellers), needs_(needs) {
    for (const PackOffer& offer : offers)
      column(static_cast<double>(offer.price), static_cast<double>(most_of(offer, needs)));
    for (const SellerTerms& seller : sellers) {
      used_.push_back(column(static_cast<double>(seller.delivery), 1));
      free_.push_back(column(-static_cast<double>(seller.delivery), seller.free_from ? 1 : 0));
    }
    for (std::size_t s = 0; s < sellers.size(); ++s) add_delivery(s);
  }

  // Counts of the offers.
  std::optional<WholeCounts> counts() {
    add_batches();
    for (std::size_t p = 0; p < needs_.size(); ++p) add_need(p);
    for (std::size_t i = 0; i < offers_.size(); ++i) add_link(i, used_[static_cast<std::size_t>(offers_[i].seller)]);
    auto found = solve(programme_);
    if (found) found->counts.resize(offers_.size());
    return found;
  }

 private:
  using Row = IntegerProgramme::Row;

  int column(double cost, double most) {
    programme_.cost.push_back(cost);
    programme_.most.push_back(most);
    return static_cast<int>(programme_.cost.size()) - 1;
  }
  void row(Row row, double low, double high) {
    row.low = low;
    row.high = high;
    programme_.rows.push_back(std::move(row));
  }
  // free <= used; goods >= free_from * free.
  void add_delivery(std::size_t s) {
    Row order;
    order.values.emplace_back(used_[s], 1);
    order.values.emplace_back(free_[s], -1);
    row(std::move(order), 0, kNoBound);
    if (!sellers_[s].free_from) return;
    Row goods;
    for (std::size_t i = 0; i < offers_.size(); ++i)
      if (offers_[i].seller == static_cast<int>(s) && offers_[i].price > 0)
        goods.values.emplace_back(static_cast<int>(i), static_cast<double>(offers_[i].price));
    if (*sellers_[s].free_from > 0) goods.values.emplace_back(free_[s], -static_cast<double>(*sellers_[s].free_from));
    row(std::move(goods), 0, kNoBound);
  }
  void add_batches() {
    for (std::size_t p = 0; p < needs_.size(); ++p) {
      if (!needs_[p].one_seller) continue;
      std::map<int, int> from;  // seller, column
      for (std::size_t i = 0; i < offers_.size(); ++i) {
        if (offers_[i].product != static_cast<int>(p)) continue;
        const auto known = from.find(offers_[i].seller);
        const int here = known == from.end() ? column(0, 1) : known->second;
        from.emplace(offers_[i].seller, here);
        add_link(i, here);
      }
      Row all;
      for (const auto& [seller, here] : from) all.values.emplace_back(here, 1);
      row(std::move(all), 0, 1);
    }
  }
  void add_need(std::size_t p) {
    // Small coefficients keep the floating solver exact: divide by what all packs have in common.
    std::int64_t common = 0;
    for (const PackOffer& offer : offers_)
      if (offer.product == static_cast<int>(p)) common = std::gcd(common, offer.amount);
    Row cover;
    for (std::size_t i = 0; i < offers_.size(); ++i)
      if (offers_[i].product == static_cast<int>(p))
        cover.values.emplace_back(static_cast<int>(i), static_cast<double>(offers_[i].amount / common));
    row(std::move(cover), static_cast<double>((needs_[p].amount + common - 1) / common), kNoBound);
  }
  // count <= most * switch
  void add_link(std::size_t offer, int on) {
    Row link;
    link.values.emplace_back(on, programme_.most[offer]);
    link.values.emplace_back(static_cast<int>(offer), -1);
    row(std::move(link), 0, kNoBound);
  }

  const std::vector<PackOffer>& offers_;
  const std::vector<SellerTerms>& sellers_;
  const std::vector<SplitNeed>& needs_;
  IntegerProgramme programme_;
  std::vector<int> used_, free_;
};

}  // namespace

std::int64_t cost_of(const std::vector<int>& counts, const std::vector<PackOffer>& offers,
                     const std::vector<SellerTerms>& sellers) {
  std::vector<std::int64_t> goods(sellers.size(), 0);
  std::vector<bool> used(sellers.size(), false);
  for (std::size_t i = 0; i < offers.size(); ++i) {
    if (counts[i] == 0) continue;
    used[static_cast<std::size_t>(offers[i].seller)] = true;
    goods[static_cast<std::size_t>(offers[i].seller)] += counts[i] * offers[i].price;
  }
  std::int64_t cost = 0;
  for (std::size_t s = 0; s < sellers.size(); ++s) {
    const bool free = sellers[s].free_from && goods[s] >= *sellers[s].free_from;
    cost += goods[s] + (used[s] && !free ? sellers[s].delivery : 0);
  }
  return cost;
}

std::optional<Split> cheapest_split(const std::vector<PackOffer>& offers, const std::vector<SellerTerms>& sellers,
                                    const std::vector<SplitNeed>& needs) {
  Split split{by_one_pack(offers, needs), 0, needs.empty()};
  if (!covers(split.counts, offers, needs)) return std::nullopt;
  split.cost = cost_of(split.counts, offers, sellers);
  if (needs.empty()) return split;
  const auto solved = Programme(offers, sellers, needs).counts();
  // Checked in whole numbers: the solver's own arithmetic is floating.
  if (!solved || !covers(solved->counts, offers, needs)) return split;
  const std::int64_t cost = cost_of(solved->counts, offers, sellers);
  if (cost > split.cost) return split;
  return Split{solved->counts, cost, solved->proven};
}

}  // namespace tackcloth::materials
