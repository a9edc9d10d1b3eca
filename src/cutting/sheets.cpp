#include "cutting/sheets.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <optional>
#include <random>
#include <tuple>

namespace tackcloth::cutting {
namespace {

__extension__ using Wide = __int128;

constexpr std::int64_t kTrials = 40;   // layouts for the question whether some parts fit on a ground
constexpr std::int64_t kSketch = 200;  // layouts for how long a roll a way of sharing out would take
constexpr std::int64_t kOrders = 400;  // ways of sharing out that are tried at most
constexpr std::size_t kMostKnown = 20000;

struct Item {
  int part = 0, copy = 0;
};

// Less is better: what finds no place, then new stuff, then what is left free on the remnants' side of the cost.
struct Cost {
  Length missing = 0;  // area
  Length fresh = 0;    // length of the roll, or new sheets
  Length spread = 0;   // grounds touched
  bool operator<(const Cost& o) const {
    return std::tie(missing, fresh, spread) < std::tie(o.missing, o.fresh, o.spread);
  }
  bool operator<=(const Cost& o) const { return !(o < *this); }
};

class Sharer {
 public:
  Sharer(const Grounds& grounds, const Options& options, const std::function<void(const Sheeted&)>& better)
      : g_(grounds), options_(options), better_(better), parts_(grounds.fresh.parts), random_(options.seed) {
    if (parts_.empty() && !g_.remnants.empty()) parts_ = g_.remnants.front().parts;
    for (std::size_t p = 0; p < parts_.size(); ++p)
      for (int copy = 0; copy < parts_[p].quantity; ++copy) items_.push_back({static_cast<int>(p), copy});
    started_ = options.now_seconds ? options.now_seconds() : 0;
    bound_ = bound();
  }

  Results<Sheeted> run() {
    std::vector<int> order(items_.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return area(a) > area(b); });
    Share best = share(order);
    if (auto problem = draw(best, kSketch, 0); !problem.empty()) return tl::unexpected(std::move(problem));
    show(best);
    // What has to go on the roll whichever way it is shared out is laid by the search of the roll alone.
    const bool sharing = !g_.remnants.empty() || sheets();
    for (std::int64_t tried = 0; sharing && items_.size() > 1 && tried < kOrders && layouts_ < options_.max_layouts &&
                                 !best.proven && !over(0.6);
         ++tried) {
      std::vector<int> next = order;
      const int swaps = 1 + static_cast<int>(random_() % 3);
      for (int k = 0; k < swaps; ++k) std::swap(next[random_() % next.size()], next[random_() % next.size()]);
      Share other = share(next);
      if (!draw(other, kSketch, 0).empty() || !(other.cost <= best.cost)) continue;
      const bool less = other.cost < best.cost;
      best = std::move(other);
      order = std::move(next);
      if (less) show(best);
    }
    if (!sheets() && !best.proven && !over(1)) {
      Share longer = best;
      if (draw(longer, options_.max_layouts, options_.proof_nodes, true).empty() && longer.cost <= best.cost)
        best = std::move(longer);
    }
    return sheeted(best);
  }

 private:
  struct Share {
    std::vector<std::vector<int>> on;  // items by ground
    std::vector<Layout> layouts;       // places by part and copy of the whole
    std::vector<int> missing;
    Cost cost;
    bool proven = false;
  };

  bool sheets() const { return g_.fresh.strip.width > 0 && g_.fresh.length > 0; }
  bool roll() const { return g_.fresh.strip.width > 0 && g_.fresh.length == 0; }
  std::size_t remnants() const { return g_.remnants.size(); }
  const Ground& ground(std::size_t k) const { return k < remnants() ? g_.remnants[k] : g_.fresh; }
  Length area(int item) const {
    const Part& p = parts_[static_cast<std::size_t>(items_[static_cast<std::size_t>(item)].part)];
    return p.width * p.height;
  }
  bool over(double share_of_time) const {
    if (options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed)) return true;
    return options_.max_seconds > 0 && options_.now_seconds &&
           options_.now_seconds() - started_ >= options_.max_seconds * share_of_time;
  }

  // These items as parts of their own, and which they were.
  struct Some {
    std::vector<Part> parts;
    std::vector<std::vector<int>> copies;  // items by part
  };
  Some some(std::size_t where, std::vector<int> which) const {
    std::sort(which.begin(), which.end());  // so that the same question has the same parts in the same order
    Some s;
    std::map<int, std::size_t> seen;
    for (const int item : which) {
      const int part = items_[static_cast<std::size_t>(item)].part;
      const auto [at, fresh] = seen.try_emplace(part, s.parts.size());
      if (fresh) {
        s.parts.push_back(ground(where).parts[static_cast<std::size_t>(part)]);
        s.parts.back().quantity = 0;
        s.copies.emplace_back();
      }
      ++s.parts[at->second].quantity;
      s.copies[at->second].push_back(item);
    }
    return s;
  }
  Layout in_whole(const Some& s, const Layout& layout) const {
    Layout out = layout;
    for (Place& p : out.places) {
      const Item& item = items_[static_cast<std::size_t>(
          s.copies[static_cast<std::size_t>(p.part)][static_cast<std::size_t>(p.copy)])];
      p.part = item.part;
      p.copy = item.copy;
    }
    return out;
  }

  // Do these fit on a ground of given length? The same question comes again and again. The layout is that of some().
  const Layout* fits(std::size_t where, const std::vector<int>& which) {
    std::vector<int> alike;
    for (const int item : which) alike.push_back(items_[static_cast<std::size_t>(item)].part);
    std::sort(alike.begin(), alike.end());
    if (known_.size() > kMostKnown) known_.clear();
    const auto [at, fresh] = known_.try_emplace({std::min(where, remnants()), std::move(alike)});
    if (fresh) at->second = laid(where, which);
    return at->second ? &*at->second : nullptr;
  }
  std::optional<Layout> laid(std::size_t where, const std::vector<int>& which) {
    const Ground& on = ground(where);
    if (on.strip.width <= 0 || on.length <= 0) return std::nullopt;
    Wide sum = 0;
    for (const int item : which) sum += area(item);
    if (sum > Wide{on.strip.width} * on.length) return std::nullopt;
    const Some s = some(where, which);
    for (const Part& p : s.parts) {
      const bool upright = p.width <= on.strip.width && p.height <= on.length;
      if (!upright && !(p.may_turn && p.height <= on.strip.width && p.width <= on.length)) return std::nullopt;
    }
    Options quick;
    quick.seed = options_.seed;
    quick.max_layouts = kTrials;
    quick.proof_nodes = 500;
    const auto outcome = lay_out(s.parts, on.strip, quick);
    if (!outcome) return std::nullopt;
    layouts_ += outcome->layouts;
    if (outcome->layout.height > on.length) return std::nullopt;
    return outcome->layout;
  }

  Share share(const std::vector<int>& order) {
    Share made;
    made.on.resize(remnants() + 1);
    for (const int item : order) {
      bool done = false;
      const std::size_t last = sheets() ? made.on.size() : remnants();
      for (std::size_t k = 0; k < last && !done; ++k) {
        std::vector<int> with = made.on[k];
        with.push_back(item);
        if (!fits(k, with)) continue;
        made.on[k] = std::move(with);
        done = true;
      }
      if (done) continue;
      if (roll()) {
        made.on.back().push_back(item);
      } else if (sheets() && fits(remnants(), {item})) {
        made.on.push_back({item});
      } else {
        made.missing.push_back(item);
      }
    }
    return made;
  }

  // Draws every ground and counts the cost. Problems are those of the roll.
  std::vector<Problem> draw(Share& s, std::int64_t layouts, std::int64_t nodes, bool all_the_time = false) {
    s.layouts.assign(s.on.size(), {});
    s.cost = {};
    for (const int item : s.missing) s.cost.missing += area(item);
    bool roll_proven = true;
    for (std::size_t k = 0; k < s.on.size(); ++k) {
      if (s.on[k].empty()) continue;
      ++s.cost.spread;
      const Some parts = some(k, s.on[k]);
      if (k < remnants() || sheets()) {
        if (const Layout* layout = fits(k, s.on[k])) s.layouts[k] = in_whole(parts, *layout);
        if (k >= remnants()) ++s.cost.fresh;
        continue;
      }
      Options options = options_;
      options.max_layouts = layouts;
      options.proof_nodes = nodes;
      options.on_better = nullptr;
      if (!all_the_time) {
        options.max_seconds = 0;
      } else {
        if (options.now_seconds)
          options.max_seconds = std::max(0.001, options.max_seconds - (options.now_seconds() - started_));
        if (options_.max_seconds <= 0) options.max_seconds = 0;
        options.on_better = [&, k](const Outcome& outcome) {
          if (!better_) return;
          Share now = s;
          now.layouts[k] = in_whole(parts, outcome.layout);
          now.cost.fresh = outcome.layout.height;
          now.proven = outcome.layout.height <= bound_;
          show(now);
        };
      }
      const auto outcome = lay_out(parts.parts, g_.fresh.strip, options);
      if (!outcome) return outcome.error();
      layouts_ += outcome->layouts;
      s.layouts[k] = in_whole(parts, outcome->layout);
      s.cost.fresh = outcome->layout.height;
      roll_proven = outcome->proven;
      if (nothing_fits_a_remnant_) bound_ = std::max(bound_, outcome->lower_bound);
    }
    s.proven = s.missing.empty() && (s.cost.fresh <= bound_ || (roll() && roll_proven && nothing_fits_a_remnant_));
    return {};
  }
  Length bound() {
    std::vector<Part> alone;
    Wide all = 0, free = 0;
    for (const Ground& r : g_.remnants) free += Wide{r.strip.width} * r.length;
    int big = 0;
    for (std::size_t p = 0; p < parts_.size(); ++p) {
      all += Wide{parts_[p].width} * parts_[p].height * parts_[p].quantity;
      bool any = false;
      for (const Ground& r : g_.remnants) {
        const Part& q = r.parts[p];
        any = any || (q.width <= r.strip.width && q.height <= r.length) ||
              (q.may_turn && q.height <= r.strip.width && q.width <= r.length);
      }
      if (!any && !g_.fresh.parts.empty()) alone.push_back(g_.fresh.parts[p]);
      const Length least = std::min(parts_[p].width, parts_[p].height);
      const bool turns = parts_[p].may_turn;
      const bool alone_on_sheet =
          turns ? 2 * least > std::max(g_.fresh.strip.width, g_.fresh.length)
                : 2 * parts_[p].width > g_.fresh.strip.width && 2 * parts_[p].height > g_.fresh.length;
      if (!any && alone_on_sheet) big += parts_[p].quantity;
    }
    nothing_fits_a_remnant_ = alone.size() == parts_.size();
    const Wide rest = std::max<Wide>(0, all - free);
    if (sheets()) {
      const Wide one = Wide{g_.fresh.strip.width} * g_.fresh.length;
      return std::max(static_cast<Length>((rest + one - 1) / one),
                      static_cast<Length>(std::max(big, alone.empty() ? 0 : 1)));
    }
    if (!roll()) return 0;
    const Length by_area = static_cast<Length>((rest + g_.fresh.strip.width - 1) / g_.fresh.strip.width);
    return std::max(by_area, alone.empty() ? 0 : lower_bound(alone, g_.fresh.strip));
  }

  Sheeted sheeted(const Share& s) const {
    Sheeted out;
    for (std::size_t k = 0; k < s.on.size(); ++k)
      if (!s.on[k].empty()) out.used.push_back({static_cast<int>(k), s.layouts[k]});
    for (const int item : s.missing)
      out.missing.emplace_back(items_[static_cast<std::size_t>(item)].part,
                               items_[static_cast<std::size_t>(item)].copy);
    if (roll()) out.length = s.cost.fresh;
    if (sheets()) out.sheets = static_cast<int>(s.cost.fresh);
    out.lower_bound = std::min(bound_, s.cost.fresh);
    out.proven = s.proven;
    if (out.proven) out.lower_bound = s.cost.fresh;
    out.layouts = layouts_;
    return out;
  }
  void show(const Share& s) {
    if (!better_ || (shown_ && !(s.cost < *shown_))) return;
    shown_ = s.cost;
    better_(sheeted(s));
  }

  const Grounds& g_;
  const Options& options_;
  const std::function<void(const Sheeted&)>& better_;
  std::vector<Part> parts_;
  std::vector<Item> items_;
  std::map<std::pair<std::size_t, std::vector<int>>, std::optional<Layout>> known_;
  std::mt19937_64 random_;
  std::int64_t layouts_ = 0;
  Length bound_ = 0;
  bool nothing_fits_a_remnant_ = false;
  double started_ = 0;
  std::optional<Cost> shown_;
};

}  // namespace

Results<Sheeted> lay_on_sheets(const Grounds& grounds, const Options& options,
                               const std::function<void(const Sheeted&)>& better) {
  // What is new decides whether a part is too large.
  if (grounds.fresh.strip.width > 0 && grounds.fresh.length == 0) {
    Options none;
    none.max_layouts = 1;
    none.proof_nodes = 0;
    if (auto wrong = lay_out(grounds.fresh.parts, grounds.fresh.strip, none); !wrong)
      return tl::unexpected(std::move(wrong.error()));
  }
  return Sharer(grounds, options, better).run();
}

}  // namespace tackcloth::cutting
