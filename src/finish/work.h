// What a step takes: minutes, rest, material; and how it is said to the person at the bench.
#pragma once

#include "finish/surface_state.h"

namespace tackcloth::finish {

struct Work {
  double minutes_fixed = 0, minutes_per_m2 = 0;
  double rest_h = 0;
  double water_g_m2 = 0;  // left on the wood; its rest is by climate
  double wet_um = 0;
  double cost_per_m2 = 0;  // minor units
  catalog::Method method = catalog::Method::by_hand;
  bool is_film = false;
  film::Need own_need = film::Need::recoat_same;  // of liquids that only have to dry: spirits, fillers, glue
};

Work work_of(const Scene& scene, const State& before, const Move& move);
// How the product is put on here: by hand where the label allows it, since not every shop has a place to spray.
const catalog::Application* application_of(const catalog::Product& product);
// The film ground a step meets.
film::Ground ground_of(const Scene& scene, const State& before);
// The step in words, without the needs of what follows.
Step worded(const Scene& scene, const State& before, const Move& move, int coat, int coats);
// How a step of a given order is understood by `check`.
Move move_of(const Scene& scene, const Step& step);

}  // namespace tackcloth::finish
