// A renewable resource of constant capacity: the timetable of parts that must run, with explanations at single moments
// (Schutt, Feydy, Stuckey & Wallace, "Explaining the cumulative propagator", Constraints 16, 2011).
#pragma once

#include <vector>

#include "calendar/proof_engine.h"

namespace tackcloth::calendar::proof {

// Runs on [start, start + length) or, with an `end` variable, on [start, end).
struct Task {
  int start = -1, end = -1;
  int length = 0;
  int usage = 1;
  Literal presence = kAlways;  // takes nothing while this is not true
};

// Use that never moves: closed hours, facts.
struct Standing {
  int from = 0, to = 0;
  int usage = 0;
};

// How that use changes, counted up to the capacity: moment and change, in order, no change of nothing.
std::vector<std::pair<int, int>> changes_of(const std::vector<Standing>& standing, int capacity);

class Cumulative : public Propagator {
 public:
  Cumulative(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing);
  // Standing use counts up to the capacity.
  static void add(Engine& engine, std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing = {});
  bool propagate(Engine& engine, int id) override;
  void explain(const Engine& engine, Literal literal, int data, int position, std::vector<Literal>& out) override;

 private:
  struct Step {  // height on [from, next step's from)
    int from, height;
  };
  struct Cause {
    int task, usage;
  };
  bool raise_timetable(Engine& engine);
  int standing(int from, int to) const;  // the least standing use on [from, to)
  bool check(Engine& engine, int id, int i);
  Literal begun(const Task& t, int when) const { return at_most(t.start, when); }
  Literal running(const Task& t, int when) const {  // ends after `when`
    return t.end >= 0 ? at_least(t.end, when + 1) : at_least(t.start, when + 1 - t.length);
  }
  // Tasks other than `but` that cover [from, to) at `position` and together use more than `room`.
  void causes(const Engine& engine, int but, int from, int to, int room, int position, std::vector<Literal>& out);

  std::vector<Task> tasks_;
  int capacity_;
  std::vector<std::pair<int, int>> task_of_;  // bound, task; sorted
  std::vector<std::pair<int, int>> events_, always_;
  std::vector<Step> steps_, standing_;
  std::vector<Cause> found_;
  int highest_ = 0;
};

}  // namespace tackcloth::calendar::proof
