// The heart of the exact search: whole-number variables known by their bounds, constraints that tighten bounds and can
// say why, and clauses learned from dead ends (lazy clause generation: Ohrimenko, Stuckey & Codish, Constraints 14,
// 2009). A literal is a bound itself, so a domain of 10^8 ticks costs no more than one of ten.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <utility>
#include <vector>

#include "calendar/proof_focus.h"
#include "calendar/proof_literal.h"

namespace tackcloth::calendar::proof {

class Engine;

// Tightens bounds beyond what clauses and arcs do. Keeps no state of its own between calls.
class Propagator {
 public:
  virtual ~Propagator() = default;
  // False on a dead end (engine.set or engine.fail said so).
  virtual bool propagate(Engine& engine, int id) = 0;
  // Appends literals that were true before trail position `position` and together imply `literal`; `data` is what
  // propagate() gave to set() then.
  virtual void explain(const Engine& engine, Literal literal, int data, int position, std::vector<Literal>& out) = 0;
};

// Late propagators run when no other has anything left to say.
enum class Priority : std::uint8_t { usual, late };

// Why a bound holds.
struct Reason {
  enum Kind : std::uint8_t { decided, clause, arc, excluded, asked, listed };
  Kind kind = decided;
  std::int32_t id = 0, data = 0;
};

class Engine {
 public:
  // Variables and constraints are added at level 0.
  int add_variable(int low, int high);
  int variables() const { return static_cast<int>(value_.size()) / 2; }
  // y >= x + weight, always or while `condition` holds.
  void add_arc(int x, int y, int weight, Literal condition = kAlways);
  bool add_clause(std::vector<Literal> literals);
  // Woken whenever one of `bounds` rises. The engine keeps it and calls it with this id's reasons.
  int add_propagator(std::unique_ptr<Propagator> propagator, const std::vector<int>& bounds,
                     Priority priority = Priority::usual);

  int low(int x) const { return value_[index(2 * x)]; }
  int high(int x) const { return -value_[index(2 * x + 1)]; }
  bool fixed(int x) const { return low(x) == high(x); }
  bool is_true(Literal l) const { return value_[index(l.bound)] >= l.value; }
  bool is_false(Literal l) const { return value_[index(l.bound ^ 1)] > -l.value; }
  // The bound as it was before trail position `position`.
  int before(int bound, int position) const;
  // Trail position at which the literal (true now) became true; -1 at the root.
  int since(Literal l) const;

  // For propagators. `literal` follows for `reason`; false on a dead end.
  bool set(Literal literal, Reason reason);
  // The same with the premises given outright (all true now).
  bool set(Literal literal, const std::vector<Literal>& premises);
  // Keeps two numbers for a later explain(), as long as the level lasts; the answer is their place.
  int note(int a, int b);
  std::pair<int, int> noted(int place) const { return {listed_[index(place)].bound, listed_[index(place)].value}; }
  bool holds_at_root(Literal l) const { return root_[index(l.bound)] >= l.value; }
  // All of `literals` hold and cannot: a dead end.
  bool fail(std::vector<Literal> literals);

  // For the search. False on a dead end, or when `stop` (asked now and then) ended it: interrupted() tells.
  bool propagate();
  std::function<bool()> stop;
  bool interrupted() const { return interrupted_; }
  void decide(Literal literal);
  void back_to(int level);
  // Learns from the dead end and jumps back; false when the root itself is refuted.
  bool learn();
  // Outside every level: a fact found by the search. False when it refutes the root.
  bool assert_root(Literal literal);
  int level() const { return static_cast<int>(levels_.size()); }
  // At level 0: forgets the less useful half of the learned clauses once there are many.
  void tidy();
  bool refuted() const { return refuted_; }
  // What the literal (true now, by no decision) was concluded from; what the last dead end consists of.
  std::vector<Literal> why(Literal l) const;
  const std::vector<Literal>& dead_end() const { return conflict_; }
  Focus& focus() { return focus_; }
  std::int64_t propagations = 0;

 private:
  struct Entry {
    std::int32_t bound, value, previous, level;
    Reason reason;
  };
  struct Arc {
    std::int32_t to, weight;
    Literal condition;
  };
  struct Switch {  // an arc that a condition turns on
    std::int32_t value, from, position;
  };
  struct Watch {
    std::int32_t threshold;  // the watched literal is false once its opposite bound reaches this
    std::uint32_t clause;
    Literal blocker;
  };
  struct Head {
    std::uint32_t size, lbd;
    float use;
    bool learned;
  };

  static std::size_t index(int i) { return static_cast<std::size_t>(i); }
  Literal* literals(std::uint32_t clause) { return store_.data() + clauses_[clause].first; }
  bool visit_clauses(const Entry& e, int old);
  bool visit_arcs(const Entry& e);
  bool ring();
  void explain(Literal literal, Reason reason, int position, std::vector<Literal>& out) const;
  std::uint32_t keep(const std::vector<Literal>& literals, bool learned, std::uint32_t lbd);
  void watch(std::uint32_t clause);
  void need(Literal l);
  bool covered(Literal l, int position) const;
  void minimise();

  std::vector<std::int32_t> value_, root_, last_;  // a bound: now, at level 0, its newest trail entry
  std::vector<Entry> trail_;
  std::vector<std::size_t> levels_, listed_at_;
  std::size_t head_ = 0;
  std::vector<std::vector<Arc>> arcs_;         // by the bound they start from
  std::vector<std::vector<Switch>> switches_;  // by the bound of their condition
  std::vector<std::vector<Watch>> watches_;
  std::vector<std::vector<std::int32_t>> wakes_;
  std::vector<std::unique_ptr<Propagator>> propagators_;
  std::vector<std::int32_t> queue_, late_queue_;
  std::vector<char> queued_;
  std::vector<Priority> priority_;
  std::vector<Literal> listed_;  // premises given outright
  struct Clause {
    std::size_t first;
    Head head;
  };
  std::vector<Clause> clauses_;
  std::vector<Literal> store_;
  std::size_t learned_ = 0, learned_limit_ = 12'000;
  std::vector<Literal> conflict_;
  bool refuted_ = false, interrupted_ = false;
  Focus focus_;

  // Scratch of learn(): per bound, the value the explanation needs and where it became true.
  std::vector<std::int32_t> needed_, needed_at_;
  std::vector<std::int32_t> touched_;
  std::vector<Literal> premises_, clause_;
  int open_ = 0, conflict_level_ = 0;
  float use_step_ = 1;
};

}  // namespace tackcloth::calendar::proof
