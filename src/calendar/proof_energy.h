// A renewable resource by energy: work between two moments against what the resource can do there. Edge finding on top
// of the timetable (Vilim, "Timetable edge finding filtering algorithm for discrete cumulative resources", CPAIOR 2011)
// with explanations that ask no more of each task than the work it must do between the two moments (Schutt, Feydy &
// Stuckey, "Explaining time-table-edge-finding propagation for the cumulative resource constraint", CPAIOR 2013).
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "calendar/proof_cumulative.h"

namespace tackcloth::calendar::proof {

// Redundant beside Cumulative, which alone decides. Tasks of variable length count by their timetable part only and are
// not pushed; nor are tasks that may stay away, which count nothing until they are there.
class Energy : public Propagator {
 public:
  Energy(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing);
  // With `adaptive`, it rests longer and longer while it finds nothing.
  static void add(Engine& engine, std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing = {},
                  bool adaptive = true);
  bool propagate(Engine& engine, int id) override;
  void explain(const Engine& engine, Literal literal, int data, int position, std::vector<Literal>& out) override;

 private:
  struct Free {  // a task that is not fixed, in the direction of the pass
    int task, earliest_start, latest_start, earliest_end, latest_end;
    int length, usage;
    int loose;  // length without the part that must run in the timetable
  };
  struct Step {  // energy before `from`, and the height from there on
    int from;
    std::int64_t before;
    int height;
  };
  struct Cause {
    int task, from, to;  // must run for to - from ticks of the window; of variable length: just there
    std::int64_t energy;
    bool at_root;
  };
  bool gather(const Engine& engine);
  std::int64_t timetable(int until) const;
  bool pass(Engine& engine, int id, bool mirrored);
  bool push(Engine& engine, int id, const Free& f, bool mirrored, int begin, int end, int bound);
  void causes(const Engine& engine, int but, int begin, int end, std::int64_t needed, int position,
              std::vector<Literal>& out);
  std::array<Literal, 2> premises(const Task& t, int from, int to, int begin, int end) const;

  std::vector<Task> tasks_;
  int capacity_;
  bool adaptive_ = true;
  std::vector<std::pair<int, int>> always_;
  std::vector<Step> standing_;
  std::vector<std::pair<int, int>> task_of_;  // bound, task; sorted
  // Scratch of one call.
  std::vector<std::pair<int, int>> events_;
  std::vector<Step> steps_;
  std::vector<Free> free_;
  std::vector<std::size_t> by_start_, by_end_;
  std::vector<std::int64_t> at_start_, at_end_;
  std::vector<Cause> found_;
  // How it has paid lately; changes when it runs, never what is true.
  bool paid_ = false;
  int vain_ = 0, rest_ = 0, waited_ = 0;
};

}  // namespace tackcloth::calendar::proof
