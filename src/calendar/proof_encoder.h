// Builds the encoding: proof_model.cpp has times, lags and the objective, proof_places.cpp resources and people.
#pragma once

#include <map>
#include <memory>
#include <tuple>

#include "calendar/proof_cumulative.h"
#include "calendar/proof_links.h"
#include "calendar/proof_model.h"

namespace tackcloth::calendar::proof {

class Encoder {
 public:
  Encoder(const Problem& problem, const Cost& bound, const Cost& ceiling, int stage, Tick horizon, bool edge_finding);
  std::optional<Encoding> run();

 private:
  // proof_model.cpp
  bool times(int i);
  bool tail(int i);
  bool lag(int k);
  bool soft_lag(int k);
  bool after(Moment x, Moment y, const TimeFunction& lag, bool least, Literal condition = kAlways);
  void arc(int x, int y, int weight);
  void pairs();
  void close();
  bool exclude(int i, int j) const;
  bool objective();
  void visits();
  void moved();
  Moment as_variable(Moment m);
  // Longest path between two activities that are not fixed.
  int& path(int i, int j) { return path_[static_cast<std::size_t>(slot(i) * open_count() + slot(j))]; }
  int slot(int i) const { return slot_[static_cast<std::size_t>(i)]; }
  int open_count() const { return static_cast<int>(open_.size()); }
  void lengthen(int i, int j, Tick weight);

  // proof_places.cpp
  bool places();
  bool hands_on(int i);
  bool resting(int i);
  void facts();
  bool team(int i, int k);
  void pool(int q);
  void share(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing);
  bool uniform(int q) const;
  void add_task(int resource, Task t);
  Task work(int i, int usage, Literal presence) const;
  std::shared_ptr<const std::vector<Closed::Stretch>> closed(const std::vector<int>& resources, int members,
                                                             Tick length);
  void keep_open(int i, const std::vector<int>& resources, int members, std::vector<Literal> conditions);
  bool rigid(int i) const { return longer_[static_cast<std::size_t>(i)].by < 0; }
  Tick longest(int i) const;

  struct Longer {
    int by = -1;              // variable: what overrun soft maximum lags add; -1: nothing can
    std::vector<int> values;  // every sum it can take but 0
  };
  const Problem& p_;
  const Model& m_;
  const Cost bound_, ceiling_;
  const int stage_;
  const int horizon_;
  const bool edge_finding_;
  Encoding e_;
  std::vector<int> open_, slot_;                 // activities that are not fixed, and where they stand there
  std::vector<int> path_;                        // longest paths, start to start; empty for large problems
  std::vector<Longer> longer_;                   // by activity
  std::vector<int> late_;                        // by precedence: 1 when its soft maximum lag is overrun; -1: none
  std::vector<std::vector<Task>> tasks_;         // by resource
  std::vector<std::vector<Standing>> standing_;  // by resource: facts
  std::vector<std::vector<Task>> pool_tasks_;    // by uniform pool
  std::map<std::tuple<std::vector<int>, int, Tick>, std::shared_ptr<const std::vector<Closed::Stretch>>> closed_;
  std::vector<char> uniform_;  // a pool: its members are alike and serve nothing else
};

}  // namespace tackcloth::calendar::proof
