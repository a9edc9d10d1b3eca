#include "cutting/search.h"

#include <algorithm>
#include <numeric>

namespace tackcloth::cutting {

Search::Search(const Boxes& boxes, Layer& layer, const Options& options, bool splits, Length bound,
               std::function<void(const std::vector<Spot>&, Length)> better)
    : boxes_(boxes),
      layer_(layer),
      options_(options),
      bound_(bound),
      better_(std::move(better)),
      random_(options.seed),
      splits_(splits) {
  started_ = options.now_seconds ? options.now_seconds() : 0;
  turns_ = std::any_of(boxes.all.begin(), boxes.all.end(), [](const Box& b) { return b.may_turn; });
}

bool Search::over() {
  if (stopped_ || layouts_ >= most_) return stopped_ = true;
  if (options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed)) return stopped_ = true;
  if (options_.max_seconds > 0 && options_.now_seconds && (layouts_ & 15) == 0)
    stopped_ = options_.now_seconds() - started_ >= options_.max_seconds;
  return stopped_;
}

std::size_t Search::below(std::size_t bound) {
  return static_cast<std::size_t>(((random_() >> 32) * static_cast<std::uint64_t>(bound)) >> 32);
}

Length Search::lay(const State& state, Length cap, Length most_left) {
  ++layouts_;
  return layer_.lay(state.order, state.ways, cap, most_left);
}

// Every box under the other: an order that is certain to find a place for all. Then by falling area, perimeter, height,
// width and longer side.
void Search::first_layouts() {
  Length tallest = 0;
  for (const Box& box : boxes_.all) tallest += std::max(box.height, box.may_turn ? box.width : 0) + box.step_y;
  std::vector<std::function<Length(const Box&)>> keys = {
      [](const Box& b) { return b.height; }, [](const Box& b) { return b.width * b.height; },
      [](const Box& b) { return b.width + b.height; }, [](const Box& b) { return b.width; },
      [](const Box& b) { return std::max(b.width, b.height); }};
  for (const auto& key : keys)
    for (const bool lying : {false, true}) {
      State s;
      s.order.resize(boxes_.all.size());
      std::iota(s.order.begin(), s.order.end(), 0);
      std::stable_sort(s.order.begin(), s.order.end(), [&](int a, int b) {
        return key(boxes_.all[static_cast<std::size_t>(a)]) > key(boxes_.all[static_cast<std::size_t>(b)]);
      });
      s.ways.assign(boxes_.all.size(), 0);
      for (std::size_t i = 0; i < boxes_.all.size(); ++i) {
        const Box& box = boxes_.all[i];
        const bool fits = box.may_turn && box.height <= boxes_.width;
        if (box.width > boxes_.width || (fits && lying && box.height > box.width)) s.ways[i] = turn_first;
      }
      if (lying && !turns_) continue;
      const Length left = lay(s, best_ > 0 ? best_ - 1 : tallest, best_ > 0 ? 0 : Layer::kGivenUp - 1);
      if (left == 0) {
        best_ = layer_.height();
        better_(layer_.spots(), best_);
        starts_.insert(starts_.begin(), s);
      } else {
        starts_.push_back(s);
      }
      if (best_ > 0 && (best_ <= bound_ || over())) return;
    }
}

void Search::change(State& state) {
  const std::size_t n = state.order.size();
  const std::size_t a = below(n), b = below(n);
  const std::size_t kind = below(8);
  if (splits_ && kind < 3) {
    state.ways[static_cast<std::size_t>(state.order[a])] ^= split_up;
    if (kind == 0) return;
  } else if (turns_ && kind == 3) {
    state.ways[static_cast<std::size_t>(state.order[a])] ^= turn_first;
  }
  if (kind < 7) {
    std::swap(state.order[a], state.order[b]);
  } else {
    const int moved = state.order[a];
    state.order.erase(state.order.begin() + static_cast<std::ptrdiff_t>(a));
    state.order.insert(state.order.begin() + static_cast<std::ptrdiff_t>(std::min(b, n - 1)), moved);
  }
}

// Late acceptance would need the exact value of layouts that are given up; a plateau walk with restarts does not.
bool Search::reach(Length cap, std::int64_t most) {
  const std::int64_t until = layouts_ + most;
  const std::int64_t patience = 400 + 20 * static_cast<std::int64_t>(boxes_.all.size());
  for (std::size_t round = 0; layouts_ < until && !over(); ++round) {
    State now = starts_[round < starts_.size() ? round : below(starts_.size())];
    if (round >= starts_.size())
      for (std::size_t k = 0; k < boxes_.all.size() / 4; ++k) change(now);
    Length left = lay(now, cap, Layer::kGivenUp - 1);
    if (left == 0) {
      starts_.insert(starts_.begin(), now);
      return true;
    }
    std::int64_t since = 0;
    State next;
    while (since < patience && layouts_ < until && !over()) {
      next = now;
      change(next);
      const Length after = lay(next, cap, left);
      ++since;
      if (after > left) continue;
      if (after < left) since = 0;
      left = after;
      std::swap(now, next);
      if (left == 0) {
        starts_.insert(starts_.begin(), now);
        return true;
      }
    }
  }
  return false;
}

void Search::run(std::int64_t most, Length best, Length bound) {
  most_ = std::min(most, options_.max_layouts);
  stopped_ = false;
  bound_ = std::max(bound_, bound);
  if (best > 0) best_ = best_ > 0 ? std::min(best_, best) : best;
  if (starts_.empty()) first_layouts();
  // Half of the way to the bound at first; what cannot be reached is asked for by smaller and smaller steps.
  if (step_ == 0) step_ = std::max<Length>(1, (best_ - bound_) / 2);
  while (best_ > bound_ && !over()) {
    step_ = std::min(step_, std::max<Length>(1, best_ - bound_));
    const Length before = best_;
    if (reach(best_ - step_, patience_)) {
      best_ = layer_.height();
      better_(layer_.spots(), best_);
      if (starts_.size() > 12) starts_.resize(12);
      if (before - best_ > step_) step_ = std::max<Length>(1, step_ / 2);
    } else if (step_ > 1) {
      step_ = (step_ + 1) / 2;
    } else {
      patience_ *= 2;
      step_ = std::max<Length>(1, (best_ - bound_) / 4);
    }
  }
}

}  // namespace tackcloth::cutting
