// After the peak crossover of Debels & Vanhoucke (2005, 2007) and Valls, Ballestin & Quintanilla (2008), which keeps
// the busiest stretch of one parent. Here the stretch is chosen by what the father gets done in it beyond a mother, and
// a cut by where he is ahead of her.
#include "calendar/plain_cross.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calendar/at.h"

namespace tackcloth::calendar {
namespace {

int below(Random& random, int bound) { return static_cast<int>(random.below(at(std::max(1, bound)))); }

}  // namespace

bool better(const PlainMember& a, const PlainMember& b) {
  return a.makespan != b.makespan ? a.makespan < b.makespan : a.centre < b.centre;
}

double distance(const Plain& plain, const PlainMember& a, const PlainMember& b, double enough) {
  double sum = 0;
  for (int i = 0; i < plain.size && sum < enough; ++i) {
    const int d = plain.duration[at(i)];
    sum += 0.5 * std::abs(a.on(0, i, d) - a.on(1, i, d) - b.on(0, i, d) + b.on(1, i, d));
  }
  return sum;
}

PlainCross::PlainCross(const Plain& plain, const PlainTuning& tuning) : p_(plain), t_(tuning) {
  double highest = 0;
  for (int r = 0; r < p_.resources; ++r) {
    double work = 0;
    for (int i = 0; i < p_.size; ++i) work += double(p_.need[at(i * p_.resources + r)]) * p_.duration[at(i)];
    scarce_.push_back(p_.supply[at(r)] > 0 ? work / p_.supply[at(r)] : 0);
    highest = std::max(highest, scarce_.back());
  }
  for (int r = 0; r < p_.resources; ++r) {
    const double load = highest > 0 ? std::pow(scarce_[at(r)] / highest, t_.scarce) : 0;
    scarce_[at(r)] = p_.supply[at(r)] > 0 ? 1000 * load / p_.supply[at(r)] : 0;
  }
}

void PlainCross::weights(std::vector<int>& weight, Random* random) const {
  double w[8] = {};
  for (int r = 0; r < p_.resources; ++r) w[r] = scarce_[at(r)] * (random ? random->unit() : 1.0);
  weight.resize(at(p_.size));
  for (int i = 0; i < p_.size; ++i) {
    double sum = 0;
    for (int r = 0; r < p_.resources; ++r) sum += w[r] * p_.need[at(i * p_.resources + r)];
    weight[at(i)] = static_cast<int>(sum);
  }
}

void PlainCross::fresh(Random& random, int side, bool blurred, std::vector<int>& key) const {
  const PlainSide& s = p_.side[side];
  const int span = *std::max_element(s.tail.begin(), s.tail.end());
  const int noise = blurred ? static_cast<int>(t_.first_noise * span) : 0;
  const double work = t_.first_work * random.unit();
  key.resize(at(p_.size));
  for (int i = 0; i < p_.size; ++i) {
    key[at(i)] = below(random, noise + 1) - s.tail[at(i)] - static_cast<int>(work * s.work[at(i)]);
  }
}

PlainWay PlainCross::child(Random& random, const PlainMember& father, const Mothers& mothers,
                           const PlainFactors& factor, std::vector<int>& key) {
  const int side = 1 - father.side, n = p_.size, length = father.makespan;
  const PlainMember& mother = *mothers.front();
  key.resize(at(n));
  const PlainShares& q = t_.share;
  PlainFactors share{q.gain, q.cut, q.best_cut, q.blend, q.shake, q.shift, q.rule};
  double all = 0;
  for (std::size_t k = 0; k < kPlainWays; ++k) all += share[k] *= factor[k];
  double u = random.unit() * all;
  std::size_t which = 0;
  for (; which + 1 < kPlainWays && (u -= share[which]) >= 0;) ++which;
  const auto way = static_cast<PlainWay>(which);
  if (way == PlainWay::gain) {
    stretch(random, father, mothers, key);
  } else if (way == PlainWay::cut) {
    cut(random, father, mothers, false, key);
  } else if (way == PlainWay::best_cut) {
    cut(random, father, mothers, true, key);
  } else if (way == PlainWay::blend) {
    const double a = random.unit();
    for (int i = 0; i < n; ++i)
      key[at(i)] = static_cast<int>(4 * (a * on(father, side, i) + (1 - a) * on(mother, side, i)));
  } else if (way == PlainWay::shake) {
    for (int i = 0; i < n; ++i) key[at(i)] = on(father, side, i);
    shake(random, length, key);
  } else if (way == PlainWay::shift) {
    for (int i = 0; i < n; ++i) key[at(i)] = 2 * on(father, side, i);
    for (int count = 1 + below(random, 3); count > 0; --count) {
      const int i = below(random, n);
      key[at(i)] = 2 * below(random, length) + 1;
    }
  } else {
    const double a = 0.3 * random.unit();
    for (int i = 0; i < n; ++i) {
      key[at(i)] = static_cast<int>(4 * ((1 - a) * on(father, side, i) + a * (length - p_.side[side].tail[at(i)])));
    }
  }
  if (t_.stray > 0) {
    const int reach = std::max(1, static_cast<int>(t_.stray_reach * length));
    for (int& k : key) {
      if (random.unit() < t_.stray) k += below(random, 2 * reach + 1) - reach;
    }
  }
  return way;
}

// Weighted work done before each step, 0 .. makespan.
void PlainCross::done_before(const PlainMember& m, int side, std::vector<int>& sum) const {
  sum.assign(at(m.makespan + 1), 0);
  for (int i = 0; i < p_.size; ++i) {
    const int s = on(m, side, i), e = s + p_.duration[at(i)];
    sum[at(s)] += weight_[at(i)];
    sum[at(e)] -= weight_[at(i)];
  }
  int rate = 0, done = 0;
  for (int& x : sum) {
    rate += x;
    x = done;
    done += rate;
  }
}

// A mother's order with one stretch of the father's kept together.
void PlainCross::stretch(Random& random, const PlainMember& father, const Mothers& mothers, std::vector<int>& key) {
  const int side = 1 - father.side, length = father.makespan;
  weights(weight_, &random);
  done_before(father, side, father_sum_);
  const PlainMember* mother = mothers.front();
  int from = 0, until = 0, most = std::numeric_limits<int>::min();
  for (const PlainMember* candidate : mothers) {
    done_before(*candidate, side, mother_sum_);
    const int end = candidate->makespan;
    const double share = t_.least + (t_.most - t_.least) * random.unit();
    const int width = std::clamp(static_cast<int>(length * share), 1, std::max(1, length));
    for (int t = 0; t + width <= length; ++t) {
      const int gain = father_sum_[at(t + width)] - father_sum_[at(t)] -
                       (mother_sum_[at(std::min(t + width, end))] - mother_sum_[at(std::min(t, end))]);
      if (gain > most) {
        most = gain;
        mother = candidate;
        from = t;
        until = t + width;
      }
    }
  }
  const int away = std::max(length, mother->makespan) + 1;
  for (int i = 0; i < p_.size; ++i) {
    const int f = on(father, side, i), m = on(*mother, side, i);
    if (f >= from && f < until) {
      key[at(i)] = f;
    } else {
      key[at(i)] = m < from ? m - away : m + away;
    }
  }
}

// The father up to a moment, the rest in a mother's order.
void PlainCross::cut(Random& random, const PlainMember& father, const Mothers& mothers, bool best,
                     std::vector<int>& key) {
  const int side = 1 - father.side, length = father.makespan;
  const PlainMember* mother = mothers.front();
  int moment = below(random, length);
  if (best) {
    weights(weight_, &random);
    done_before(father, side, father_sum_);
    const int other = below(random, length);
    const int low = std::min(moment, other), high = std::max(moment, other);
    int most = std::numeric_limits<int>::min();
    for (const PlainMember* candidate : mothers) {
      done_before(*candidate, side, mother_sum_);
      for (int t = low; t <= std::min(high, candidate->makespan); ++t) {
        const int ahead = father_sum_[at(t)] - mother_sum_[at(t)];
        if (ahead > most) {
          most = ahead;
          mother = candidate;
          moment = t;
        }
      }
    }
  }
  for (int i = 0; i < p_.size; ++i) {
    const int f = on(father, side, i);
    key[at(i)] = f < moment ? f : on(*mother, side, i) + 2 * length;
  }
}

void PlainCross::shake(Random& random, int makespan, std::vector<int>& key) const {
  const int width = std::max(2, static_cast<int>(makespan * t_.stretch * random.unit()));
  const int from = below(random, makespan) - width / 2, reach = std::max(1, width / 2);
  for (int& k : key) {
    if (k >= from && k < from + width) k += below(random, 2 * reach + 1) - reach;
  }
}

}  // namespace tackcloth::calendar
