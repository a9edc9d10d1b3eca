// Constraints between few variables: functions of time, times that are closed, sums.
#pragma once

#include <memory>
#include <vector>

#include "calendar/proof_engine.h"

namespace tackcloth::calendar::proof {

// The bound `target` is at least F(x), always or while `condition` holds. F is piecewise: from `from` on,
// slope * x + plus; slope is 1 or -1.
class Link : public Propagator {
 public:
  struct Piece {
    int from, plus;  // the first piece reaches back to the beginning
  };
  Link(int x, int target, int slope, std::vector<Piece> pieces, Literal condition);
  static void add(Engine& engine, int x, int target, int slope, std::vector<Piece> pieces, Literal condition = kAlways);
  bool propagate(Engine& engine, int id) override;
  void explain(const Engine&, Literal, int, int, std::vector<Literal>&) override {}

 private:
  bool narrow(Engine& engine);
  bool conclude(Engine& engine, Literal l, std::vector<Literal> premises) const;
  std::size_t piece_of(int x) const;
  int from(std::size_t k) const { return k == 0 ? -kFar : pieces_[k].from; }
  int to(std::size_t k) const { return k + 1 < pieces_.size() ? pieces_[k + 1].from - 1 : kFar; }
  int value(std::size_t k, int x) const { return slope_ * x + pieces_[k].plus; }
  // Least value on [low, high], both in piece k.
  int least(std::size_t k, int low, int high) const { return value(k, slope_ > 0 ? low : high); }
  int x_, target_, slope_;
  std::vector<Piece> pieces_;
  Literal condition_;
};

// While all `conditions` hold, x lies outside the closed stretches [from, to).
class Closed : public Propagator {
 public:
  struct Stretch {
    int from, to;
  };
  Closed(int x, std::shared_ptr<const std::vector<Stretch>> closed, std::vector<Literal> conditions);
  // `closed` sorted and disjoint.
  static void add(Engine& engine, int x, std::shared_ptr<const std::vector<Stretch>> closed,
                  std::vector<Literal> conditions);
  bool propagate(Engine& engine, int id) override;
  void explain(const Engine&, Literal, int, int, std::vector<Literal>&) override {}

 private:
  const Stretch* holding(int value) const;
  int x_;
  std::shared_ptr<const std::vector<Stretch>> closed_;
  std::vector<Literal> conditions_;
};

// The bound `total` is at least plus + sum of weight * bound, weights positive.
class Sum : public Propagator {
 public:
  struct Term {
    int bound;
    std::int64_t weight;
  };
  Sum(int total, std::vector<Term> terms, int plus) : total_(total), plus_(plus), terms_(std::move(terms)) {}
  static void add(Engine& engine, int total, std::vector<Term> terms, int plus = 0);
  bool propagate(Engine& engine, int id) override;
  void explain(const Engine&, Literal, int, int, std::vector<Literal>&) override {}

 private:
  int total_, plus_;
  std::vector<Term> terms_;
};

}  // namespace tackcloth::calendar::proof
