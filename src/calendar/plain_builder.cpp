#include "calendar/plain_builder.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <numeric>

#include "calendar/at.h"

namespace tackcloth::calendar {
namespace {

constexpr std::uint64_t kSpare = 0x8000'8000'8000'8000ULL;
constexpr int kLooks = 300;         // sets looked at a moment at most, then the best of them
constexpr int kWidestBuckets = 32;  // keys an activity up to which counting beats comparing

}  // namespace

PlainBuilder::PlainBuilder(const Plain& plain) : p_(plain) {
  free_.resize(at((plain.horizon + 2) * plain.words));
  done_.resize(at(plain.size));
  list_.reserve(at(plain.size));
  sorted_.resize(at(plain.size));
  rank_.resize(at(plain.size));
}

// Stable in topological order.
void PlainBuilder::rank(int side, const std::vector<int>& key) {
  const auto [low, high] = std::minmax_element(key.begin(), key.end());
  if (*high - *low > kWidestBuckets * p_.size) {
    sorted_ = p_.side[side].order;
    std::stable_sort(sorted_.begin(), sorted_.end(), [&](int a, int b) { return key[at(a)] < key[at(b)]; });
    for (int r = 0; r < p_.size; ++r) rank_[at(sorted_[at(r)])] = r;
    return;
  }
  const int base = *low;
  bucket_.assign(at(*high - base + 2), 0);
  for (const int k : key) ++bucket_[at(k - base + 1)];
  std::partial_sum(bucket_.begin(), bucket_.end(), bucket_.begin());
  for (const int i : p_.side[side].order) {
    const int r = bucket_[at(key[at(i)] - base)]++;
    sorted_[at(r)] = i;
    rank_[at(i)] = r;
  }
}

const std::vector<int>& PlainBuilder::order(int side, const std::vector<int>& key) {
  rank(side, key);
  const PlainSide& s = p_.side[side];
  std::fill(done_.begin(), done_.end(), 0);
  list_.clear();
  for (const int root : sorted_) {
    if (done_[at(root)]) continue;
    stack_.clear();
    stack_.push_back(root);
    while (!stack_.empty()) {
      const int i = stack_.back();
      if (done_[at(i)]) {
        stack_.pop_back();
        continue;
      }
      const std::size_t before = stack_.size();
      for (int k = s.first[at(i)]; k < s.first[at(i) + 1]; ++k) {
        if (!done_[at(s.links[at(k)].other)]) stack_.push_back(s.links[at(k)].other);
      }
      if (stack_.size() == before) {
        done_[at(i)] = 1;
        list_.push_back(i);
        stack_.pop_back();
      }
    }
  }
  return list_;
}

template <int words>
void PlainBuilder::set_up(int until) {
  for (; clean_ < until; ++clean_) {
    for (int w = 0; w < words; ++w) free_[at(clean_ * words + w)] = p_.capacity[at(w)] | kSpare;
  }
}

template <int words>
bool PlainBuilder::fits(int cell, int activity) const {
  bool fit = ((free_[at(cell * words)] - p_.demand[at(activity * words)]) & kSpare) == kSpare;
  if (words == 2) fit = fit && ((free_[at(cell * 2 + 1)] - p_.demand[at(activity * 2 + 1)]) & kSpare) == kSpare;
  return fit;
}

template <int words>
void PlainBuilder::take(int activity, int from) {
  const int until = from + p_.duration[at(activity)];
  for (int q = from; q < until; ++q) {
    for (int w = 0; w < words; ++w) free_[at(q * words + w)] -= p_.demand[at(activity * words + w)];
  }
}

// The first moment from this one on at which it fits.
template <int words>
int PlainBuilder::fit_from(int moment, int activity) {
  const int d = p_.duration[at(activity)];
  int t = moment;
  if (d == 0) return t;
  set_up<words>(t + d);
  // From the back of the slot: a cell too full moves the whole slot past it. Cells [t, checked) are known to fit.
  for (int checked = t, q = t + d - 1; q >= checked;) {
    if (fits<words>(q, activity)) {
      --q;
      continue;
    }
    checked = t + d;
    t = q + 1;
    q = t + d - 1;
    set_up<words>(t + d);
  }
  return t;
}

int PlainBuilder::serial(int side, std::vector<int>& start) {
  start.resize(at(p_.size));
  clean_ = 0;
  const PlainSide& s = p_.side[side];
  return p_.words == 1 ? serial_of<1>(s, 0, p_.size, start) : serial_of<2>(s, 0, p_.size, start);
}

template <int words>
int PlainBuilder::serial_of(const PlainSide& s, int first, int last, std::vector<int>& start) {
  int end = 0;
  for (int n = first; n < last; ++n) {
    const int i = list_[at(n)];
    int t = 0;
    for (int k = s.first[at(i)]; k < s.first[at(i) + 1]; ++k) {
      t = std::max(t, start[at(s.links[at(k)].other)] + s.links[at(k)].weight);
    }
    t = fit_from<words>(t, i);
    take<words>(i, t);
    start[at(i)] = t;
    end = std::max(end, t + p_.duration[at(i)]);
  }
  return end;
}

int PlainBuilder::part_packed(int side, const std::vector<int>& weight, double urgency, int first, int last,
                              std::vector<int>& start) {
  return p_.words == 1 ? part_packed_of<1>(side, weight, urgency, first, last, start)
                       : part_packed_of<2>(side, weight, urgency, first, last, start);
}

template <int words>
int PlainBuilder::part_packed_of(int side, const std::vector<int>& weight, double urgency, int first, int last,
                                 std::vector<int>& start) {
  const PlainSide& s = p_.side[side];
  start.resize(at(p_.size));
  clean_ = 0;
  const int before = serial_of<words>(s, 0, first, start);
  const int within = pack_of<words>(s, weight, urgency, first, last, start);
  const int after = serial_of<words>(s, last, p_.size, start);
  return std::max({before, within, after});
}

template <int words>
int PlainBuilder::pack_of(const PlainSide& s, const std::vector<int>& weight, double urgency, int first, int last,
                          std::vector<int>& start) {
  constexpr int kOpen = -1;
  open_.assign(list_.begin() + first, list_.begin() + last);
  place_.resize(at(p_.size));
  earliest_.assign(at(p_.size), 0);  // may start, as far as looked at: use only grows
  for (int n = first; n < last; ++n) {
    place_[at(list_[at(n)])] = n;
    start[at(list_[at(n)])] = kOpen;
  }
  int end = 0;
  for (int left = last - first; left > 0;) {
    int moment = std::numeric_limits<int>::max();
    candidates_.clear();
    for (const int i : open_) {
      if (start[at(i)] != kOpen) continue;
      int t = earliest_[at(i)];
      bool waits = false;
      for (int k = s.first[at(i)]; k < s.first[at(i) + 1] && !waits; ++k) {
        const int before = start[at(s.links[at(k)].other)];
        waits = before == kOpen;
        t = std::max(t, before + s.links[at(k)].weight);
      }
      if (waits) continue;
      if (p_.duration[at(i)] == 0) {  // competes with nothing
        start[at(i)] = t;
        end = std::max(end, t);
        --left;
        continue;
      }
      t = earliest_[at(i)] = fit_from<words>(t, i);
      if (t > moment) continue;
      if (t < moment) candidates_.clear();
      moment = t;
      candidates_.push_back(i);
    }
    if (candidates_.empty()) continue;
    choose(moment, place_, weight, urgency);
    for (const int i : best_set_) {
      if (fit_from<words>(moment, i) != moment) continue;  // the set fits at its start, not to its end
      take<words>(i, moment);
      start[at(i)] = moment;
      end = std::max(end, moment + p_.duration[at(i)]);
      --left;
    }
  }
  return end;
}

void PlainBuilder::choose_from(std::size_t k, std::uint64_t free0, std::uint64_t free1, double value) {
  if (value > best_value_) {
    best_value_ = value;
    best_set_ = chosen_;
  }
  if (k >= candidates_.size() || ++looks_ > kLooks || value + rest_[k] <= best_value_) return;
  const int i = candidates_[k];
  const std::uint64_t then0 = free0 - p_.demand[at(i * p_.words)];
  const std::uint64_t then1 = p_.words == 2 ? free1 - p_.demand[at(i * 2 + 1)] : kSpare;
  if ((then0 & then1 & kSpare) == kSpare) {
    chosen_.push_back(i);
    choose_from(k + 1, then0, then1, value + value_[k]);
    chosen_.pop_back();
  }
  choose_from(k + 1, free0, free1, value);
}

// Fills best_set_ from candidates_, which are sorted by key.
void PlainBuilder::choose(int moment, const std::vector<int>& key, const std::vector<int>& weight, double urgency) {
  best_set_.clear();
  if (candidates_.empty()) return;
  const double low = key[at(candidates_.front())], high = key[at(candidates_.back())];
  value_.clear();
  for (const int i : candidates_) {
    const double early = high > low ? (high - key[at(i)]) / (high - low) : 1;
    value_.push_back((weight[at(i)] + 1) * (1 + urgency * early));
  }
  rest_.assign(candidates_.size() + 1, 0);
  for (std::size_t k = candidates_.size(); k-- > 0;) rest_[k] = rest_[k + 1] + value_[k];
  best_value_ = 0;
  looks_ = 0;
  chosen_.clear();
  choose_from(0, free_[at(moment * p_.words)], p_.words == 2 ? free_[at(moment * 2 + 1)] : kSpare, 0);
}

int PlainBuilder::packed(int side, const std::vector<int>& key, const std::vector<int>& weight, double urgency,
                         std::vector<int>& start) {
  return p_.words == 1 ? packed_of<1>(side, key, weight, urgency, start)
                       : packed_of<2>(side, key, weight, urgency, start);
}

template <int words>
int PlainBuilder::packed_of(int side, const std::vector<int>& key, const std::vector<int>& weight, double urgency,
                            std::vector<int>& start) {
  rank(side, key);
  const PlainSide& s = p_.side[side];
  const int n = p_.size;
  start.resize(at(n));
  earliest_.assign(at(n), 0);
  waits_.resize(at(n));
  ready_.assign(at((n + 63) / 64), 0);
  const auto ready = [&](int i) { ready_[at(rank_[at(i)] / 64)] |= std::uint64_t{1} << (rank_[at(i)] % 64); };
  for (int i = 0; i < n; ++i) {
    waits_[at(i)] = s.first[at(i) + 1] - s.first[at(i)];
    if (waits_[at(i)] == 0) ready(i);
  }
  clean_ = 0;
  int makespan = 0, next = 0;  // the next moment a ready activity may start by its lags alone
  for (int t = 0, left = n; left > 0; ++t) {
    set_up<words>(t + 1);
    // Nothing has changed since the last moment: nothing can start.
    if (t < next &&
        std::equal(free_.begin() + t * words, free_.begin() + (t + 1) * words, free_.begin() + (t - 1) * words)) {
      continue;
    }
    for (bool again = true; again;) {
      again = false;
      next = std::numeric_limits<int>::max();
      candidates_.clear();
      bool instant = false;  // something without duration or demand can start: it competes with nothing
      for (std::size_t w = 0; w < ready_.size(); ++w) {
        for (std::uint64_t bits = ready_[w]; bits != 0; bits &= bits - 1) {
          const int i = sorted_[w * 64 + static_cast<std::size_t>(std::countr_zero(bits))];
          if (earliest_[at(i)] > t) {
            next = std::min(next, earliest_[at(i)]);
          } else if (p_.duration[at(i)] == 0 ||
                     (p_.demand[at(i * words)] == 0 && (words == 1 || p_.demand[at(i * words + words - 1)] == 0))) {
            if (!instant) candidates_.clear();
            instant = true;
            candidates_.push_back(i);
          } else if (!instant && fits<words>(t, i)) {  // fits now: use only falls later on
            candidates_.push_back(i);
          }
        }
      }
      if (instant) {
        best_set_ = candidates_;
      } else {
        choose(t, key, weight, urgency);
      }
      again = instant;
      for (const int i : best_set_) {
        const int d = p_.duration[at(i)];
        set_up<words>(t + d);
        take<words>(i, t);
        ready_[at(rank_[at(i)] / 64)] &= ~(std::uint64_t{1} << (rank_[at(i)] % 64));
        --left;
        start[at(i)] = t;
        makespan = std::max(makespan, t + d);
        for (int k = s.after_first[at(i)]; k < s.after_first[at(i) + 1]; ++k) {
          const PlainLink& l = s.after[at(k)];
          earliest_[at(l.other)] = std::max(earliest_[at(l.other)], t + l.weight);
          if (--waits_[at(l.other)] > 0) continue;
          ready(l.other);
          next = std::min(next, earliest_[at(l.other)]);
          again = again || earliest_[at(l.other)] <= t;
        }
      }
    }
  }
  return makespan;
}

}  // namespace tackcloth::calendar
