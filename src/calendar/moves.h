// First candidates from priority rules, and changes to good ones.
#pragma once

#include <vector>

#include "calendar/problem.h"
#include "calendar/random.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

struct Candidate {
  std::vector<int> list;
  std::vector<Tick> not_before;  // empty, or one an activity
  std::vector<Tick> start;       // of the schedule it gave
  std::vector<Tick> duration;    // the same
  int passes = 0;                // schedules made to find the list
  Cost cost;
  double lead = 0;  // how far the last of the work reaches, see Moves::lead
};

// An end (with tail) that is asked for.
struct Wanted {
  int activity = -1;
  Tick due = 0;
  std::int64_t weight = 1;
};

class Moves {
 public:
  // `finish`: what no schedule ends before.
  explicit Moves(const Problem& problem, Tick finish = 0);
  std::vector<Candidate> first() const;
  Candidate scatter(Random& random) const;
  // `wanted`: ends to come nearer to instead of the promises, and nothing else; empty: the promises, then all of the
  // cost.
  Candidate vary(const Candidate& parent, Random& random, const std::vector<Wanted>& wanted) const;

  // A list that respects the ordered precedences and otherwise follows `key`, smallest first.
  std::vector<int> by_key(const std::vector<double>& key) const;

  // Of two schedules that end together the one with less of this is nearer to ending sooner: the finish itself moves
  // only when the last stretch has been emptied.
  double lead(const std::vector<Tick>& start, Tick finish) const;

 private:
  void pull_forward(std::vector<double>& key, const Candidate& parent, Random& random,
                    const std::vector<Wanted>& wanted) const;
  bool hold(Candidate& child, const Candidate& parent, Random& random) const;
  std::vector<double> slack_with(double finish) const;
  std::vector<double> paced(const std::vector<double>& slack, double ahead, double behind) const;
  bool glue(Candidate& child, const Candidate& parent, Random& random) const;

  const Problem& p_;
  Tick finish_;
  std::vector<double> slack_start_;       // latest start against due dates, else against a common end
  std::vector<std::vector<int>> before_;  // predecessors through ordered precedences
  std::vector<int> together_;             // work that needs two or more of a pool at once
  std::vector<std::vector<int>> groups_;  // visit groups with more than one activity
};

}  // namespace tackcloth::calendar
