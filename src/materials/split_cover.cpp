#include "materials/split_cover.h"

#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <utility>

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wpedantic"
#include <coin/CbcModel.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#pragma GCC diagnostic pop

namespace tackcloth::materials {
namespace {

constexpr int kNodes = 50'000;

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

  std::optional<std::pair<std::vector<int>, bool>> solve() {
    add_batches();
    for (std::size_t p = 0; p < needs_.size(); ++p) add_need(p);
    for (std::size_t i = 0; i < offers_.size(); ++i) add_link(i, used_[static_cast<std::size_t>(offers_[i].seller)]);
    CoinPackedMatrix matrix(false, 0, 0);
    matrix.setDimensions(0, static_cast<int>(cost_.size()));
    for (const CoinPackedVector& row : rows_) matrix.appendRow(row);
    const std::vector<double> zero(cost_.size(), 0);
    OsiClpSolverInterface lp;
    lp.messageHandler()->setLogLevel(0);
    lp.loadProblem(matrix, zero.data(), most_.data(), cost_.data(), low_.data(), high_.data());
    for (int i = 0; i < static_cast<int>(cost_.size()); ++i) lp.setInteger(i);
    CbcModel model(lp);
    model.setLogLevel(0);
    model.messageHandler()->setLogLevel(0);
    model.solver()->messageHandler()->setLogLevel(0);
    model.setMaximumNodes(kNodes);
    model.setAllowableGap(0);
    model.setAllowableFractionGap(0);
    model.setDblParam(CbcModel::CbcCutoffIncrement, 0.999);  // the objective is whole
    model.branchAndBound();
    const double* best = model.bestSolution();
    if (best == nullptr) return std::nullopt;
    std::vector<int> counts;
    for (std::size_t i = 0; i < offers_.size(); ++i) counts.push_back(static_cast<int>(std::lround(best[i])));
    return std::pair(std::move(counts), model.isProvenOptimal());
  }

 private:
  int column(double cost, double most) {
    cost_.push_back(cost);
    most_.push_back(most);
    return static_cast<int>(cost_.size()) - 1;
  }
  void row(CoinPackedVector values, double low, double high) {
    rows_.push_back(std::move(values));
    low_.push_back(low);
    high_.push_back(high);
  }
  // free <= used; goods >= free_from * free.
  void add_delivery(std::size_t s) {
    CoinPackedVector order;
    order.insert(used_[s], 1);
    order.insert(free_[s], -1);
    row(std::move(order), 0, kNoBound);
    if (!sellers_[s].free_from) return;
    CoinPackedVector goods;
    for (std::size_t i = 0; i < offers_.size(); ++i)
      if (offers_[i].seller == static_cast<int>(s) && offers_[i].price > 0)
        goods.insert(static_cast<int>(i), static_cast<double>(offers_[i].price));
    if (*sellers_[s].free_from > 0) goods.insert(free_[s], -static_cast<double>(*sellers_[s].free_from));
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
      CoinPackedVector all;
      for (const auto& [seller, here] : from) all.insert(here, 1);
      row(std::move(all), 0, 1);
    }
  }
  void add_need(std::size_t p) {
    // Small coefficients keep the floating solver exact: divide by what all packs have in common.
    std::int64_t common = 0;
    for (const PackOffer& offer : offers_)
      if (offer.product == static_cast<int>(p)) common = std::gcd(common, offer.amount);
    CoinPackedVector cover;
    for (std::size_t i = 0; i < offers_.size(); ++i)
      if (offers_[i].product == static_cast<int>(p))
        cover.insert(static_cast<int>(i), static_cast<double>(offers_[i].amount / common));
    row(std::move(cover), static_cast<double>((needs_[p].amount + common - 1) / common), kNoBound);
  }
  // count <= most * switch
  void add_link(std::size_t offer, int on) {
    CoinPackedVector link;
    link.insert(on, most_[offer]);
    link.insert(static_cast<int>(offer), -1);
    row(std::move(link), 0, kNoBound);
  }

  static constexpr double kNoBound = std::numeric_limits<double>::max();
  const std::vector<PackOffer>& offers_;
  const std::vector<SellerTerms>& sellers_;
  const std::vector<SplitNeed>& needs_;
  std::vector<double> cost_, most_, low_, high_;
  std::vector<int> used_, free_;
  std::vector<CoinPackedVector> rows_;
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
  const auto solved = Programme(offers, sellers, needs).solve();
  // Checked in whole numbers: the solver's own arithmetic is floating.
  if (!solved || !covers(solved->first, offers, needs)) return split;
  const std::int64_t cost = cost_of(solved->first, offers, sellers);
  if (cost > split.cost) return split;
  return Split{solved->first, cost, solved->second};
}

}  // namespace tackcloth::materials
