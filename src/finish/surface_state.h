// The surface as work goes on: what a step meets, what it leaves behind. Used by the search and by `check` alike.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <vector>

#include "finish/words.h"

namespace tackcloth::finish {

enum class Top : std::int8_t { bare, old, film };

struct State {
  Top top = Top::bare;
  std::int16_t film = -1;       // catalogue index of the newest film
  std::int8_t film_ground = 0;  // film::Ground of the first coat of it
  std::int8_t coats = 0;        // coats of that film, one on the other
  std::int8_t waited = -1;      // film::Need that film has been left to reach; -1: fresh
  std::int8_t lead = 0;         // 0 none, 1 untested, 2 tested
  bool old_finish = false, grime = false, grease = false, wax = false, glue = false, dust = false, moist = false,
       residue = false, spirits = false, damage = false, joint = false, tannin_open = false, scuffed = false,
       coarse_start = false, stripped = false, pores_filled = false, primed = false, metal_clean = false,
       dry_fit = false, glued = false, test_board = false, wiped = false, touched = false;
  std::int16_t grit = 0;
  std::int16_t fresh_h = 0;  // label hours an overlaid waterborne coat still lacked to full use when it was covered
  std::int32_t removed_um = 0;
  std::int8_t layer = 0;     // search only: layers finished
  std::int8_t inserted = 0;  // search only: films put in since the last layer
  std::int8_t in_layer = 0;  // search only: coats of the layer in hand
  friend auto operator<=>(const State&, const State&) = default;
};

// One step, without its words.
struct Move {
  StepKind kind = StepKind::wait;
  int product = -1;  // catalogue index
  int grit = 0;
  double removes_um = 0;
  bool rests = true;  // the wood is left to dry back after it
  int given = -1;     // film::Need the step is left for; -1: the search gives what is needed
  double thickness_ratio = 1;
  bool method_known = true;
};

// What stays the same through a whole order. Borrowed pointers: the catalogue outlives it.
struct Scene {
  const catalog::Catalog* catalog = nullptr;
  Surface from;
  bool woody = true;  // solid wood, veneer or board
  bool open_pored = false, tannin = false;
  int thin = 0;  // as Word::thin
  double budget_um = 0;
};

Scene make_scene(const catalog::Catalog& catalog, const Surface& from);
State start_state(const Scene& scene);

bool lays_film(StepKind kind);
bool is_shellac(const catalog::Product& product);
// What one pass of a grit takes from bare wood, µm, from the catalogue or the table beside the definition.
double removal_um(const catalog::Catalog& catalog, int grit);
// A hand scuff on bare wood, µm (from memory: a worn P320 in the hand).
inline constexpr double kScuffBareUm = 2;

// Hours the label gives for a need; used to say which of two needs is the longer.
double label_hours(const catalog::Product& product, film::Need need);
// The need the newest film has to have reached before `move`; -1 when nothing waits.
int needed_before(const Scene& scene, const State& state, const Move& move);
// The longer of two needs by the product's label; -1 is the shortest.
int longer(const catalog::Product& product, int a, int b);
// P320 scuff due on the film or old finish before this coat?
bool scuff_due(const Scene& scene, const State& state, const Move& move);
Facts facts_of(const Scene& scene, const State& state, const Move& move);
Facts facts_at_end(const Scene& scene, const State& state);
State after_move(const Scene& scene, const State& state, const Move& move);

}  // namespace tackcloth::finish
