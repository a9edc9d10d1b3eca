// How children come about: keys (moments) in whose order a schedule is built, from one or two parents.
#pragma once

#include <cstdint>
#include <vector>

#include "calendar/plain.h"
#include "calendar/plain_ways.h"
#include "calendar/random.h"

namespace tackcloth::calendar {

struct PlainMember {
  std::vector<int> start;  // in the coordinates of its side
  int makespan = 0, side = 0;
  std::int64_t centre = 0;  // of the work, summed: among equal makespans the smaller leaves more room at the end
  int passes = 0;           // schedules it took
  std::uint64_t hash = 0;

  // Start of an activity of this duration seen from `s`.
  int on(int s, int activity, int duration) const {
    const int t = start[static_cast<std::size_t>(activity)];
    return s == side ? t : makespan - t - duration;
  }
};

// Smaller makespan, then smaller centre.
bool better(const PlainMember& a, const PlainMember& b);
// Steps between the middles of their activities, summed, each seen from the middle of its project. Stops counting at
// `enough`.
double distance(const Plain& plain, const PlainMember& a, const PlainMember& b, double enough);

class PlainCross {
 public:
  PlainCross(const Plain& plain, const PlainTuning& tuning);

  // Of each activity: its needs as shares of the capacities, scarce resources heavier (after Goncharov & Leonov 2017),
  // in thousandths. With `random` every resource is scaled by chance.
  void weights(std::vector<int>& weight, Random* random) const;
  // A newcomer: longest tail first, blurred.
  void fresh(Random& random, int side, bool blurred, std::vector<int>& key) const;
  // Keys on the side the father was not built on; mothers[0] was chosen, the others are drawn. `factor` is on the
  // shares. Says how it was made.
  PlainWay child(Random& random, const PlainMember& father, const std::vector<const PlainMember*>& mothers,
                 const PlainFactors& factor, std::vector<int>& key);

 private:
  using Mothers = std::vector<const PlainMember*>;
  void stretch(Random& random, const PlainMember& father, const Mothers& mothers, std::vector<int>& key);
  void cut(Random& random, const PlainMember& father, const Mothers& mothers, bool best, std::vector<int>& key);
  void shake(Random& random, int makespan, std::vector<int>& key) const;
  void done_before(const PlainMember& m, int side, std::vector<int>& sum) const;
  int on(const PlainMember& m, int side, int i) const {
    return m.on(side, i, p_.duration[static_cast<std::size_t>(i)]);
  }

  const Plain& p_;
  const PlainTuning& t_;
  std::vector<double> scarce_;
  std::vector<int> weight_, father_sum_, mother_sum_;
};

}  // namespace tackcloth::calendar
