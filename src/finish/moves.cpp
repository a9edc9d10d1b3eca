// Which moves are worth trying. Order that never matters is fixed here, so that the search branches only where a choice
// is real: how the old finish goes, what stands between two films, which product does the work.
#include <algorithm>
#include <array>

#include "finish/search.h"

namespace tackcloth::finish {

using catalog::Binder;
using catalog::Kind;
using piece::Existing;
using piece::Material;
using piece::Treatment;

namespace {

using catalog::Product;

// The catalogue has one kind for all cleaners and one for all primers; their names say what they are for.
bool named(const Product& product, const char* word) { return product.id.find(word) != std::string::npos; }

// Takes wax off without lifting old paint, and does not flash below 38 °C: what flashes lower is a flammable liquid
// (GHS category 3 at most 60 °C, category 2 below 23 °C; 38 °C is the line of NFPA 30) and is left for who asks for it.
bool wipes(const Product& p) {
  return p.kind == Kind::spirit && p.carrier == catalog::Carrier::mineral_spirits && p.flash_point_c.value_or(0) >= 38;
}

class Mover {
 public:
  Mover(const Scene& scene, const Goal& goal, const State& state) : scene_(scene), goal_(goal), state_(state) {}

  std::vector<Move> all() {
    if (state_.lead == 1) return only(StepKind::lead_test);
    if (goal_.colour && !state_.test_board) return only(StepKind::test_board);
    if (state_.moist) return only(StepKind::dry_out);
    if (state_.residue) {
      with(StepKind::neutralize, [](const Product& p) { return rinses_stripper(p); });
      if (moves_.empty()) add(StepKind::neutralize);
      return moves_;
    }
    if (state_.grime || state_.grease) return clean();
    if (goal_.treatment == Treatment::keep) return only(StepKind::dust_off);
    if (state_.glue) return only(StepKind::scrape_glue);
    if (goal_.treatment == Treatment::fabric) return fabric();
    asked_preparation();
    if (state_.top != Top::film) prepare();
    if (state_.dust) add(StepKind::dust_off);
    if (state_.top == Top::film && !state_.scuffed && scuffable()) add(StepKind::scuff);
    coats();
    return moves_;
  }

 private:
  const std::vector<Product>& products() const { return scene_.catalog->products; }
  const Product& product(int index) const { return products()[static_cast<std::size_t>(index)]; }
  bool woody() const { return scene_.woody; }

  void add(StepKind kind, int index = -1, int grit = 0, double removes = 0) {
    Move move;
    move.kind = kind;
    move.product = index;
    move.grit = grit;
    move.removes_um = removes;
    moves_.push_back(move);
  }
  std::vector<Move> only(StepKind kind) {
    add(kind);
    return moves_;
  }
  template <class Want>
  void with(StepKind kind, Want want) {
    for (std::size_t i = 0; i < products().size(); ++i) {
      if (want(products()[i])) add(kind, static_cast<int>(i));
    }
  }

  std::vector<Move> clean() {
    if (!state_.grease) {
      with(StepKind::wash,
           [](const Product& p) { return p.kind == Kind::cleaner && !rinses_stripper(p) && !cleans_metal(p); });
    }
    with(StepKind::degrease, [](const Product& p) { return p.kind == Kind::degreaser; });
    if (moves_.empty()) add(state_.grease ? StepKind::degrease : StepKind::wash);
    return moves_;
  }

  std::vector<Move> fabric() {
    if (!state_.dry_fit) return only(StepKind::fabric_dry_fit);
    if (state_.glued || goal_.layers.empty()) return {};
    for (int index : goal_.layers.front().candidates) add(StepKind::fabric_glue, index);
    if (goal_.layers.front().candidates.empty()) add(StepKind::fabric_glue);
    return moves_;
  }

  // Preparation the owner asked for by name.
  void asked_preparation() {
    if (static_cast<std::size_t>(state_.layer) >= goal_.layers.size()) return;
    for (int index : goal_.layers[static_cast<std::size_t>(state_.layer)].candidates) {
      const StepKind kind = step_for(product(index), goal_.treatment);
      if (!lays_film(kind)) add(kind, index);
    }
  }

  void prepare() {
    if (state_.wax) {
      with(StepKind::spirit_wipe, wipes);
    }
    if (scene_.from.material == Material::metal && !state_.metal_clean) {
      with(StepKind::metal_clean, [](const Product& p) { return cleans_metal(p); });
      if (moves_.empty()) add(StepKind::metal_clean);
    }
    if (state_.old_finish) with(StepKind::strip, [](const Product& p) { return p.kind == Kind::stripper; });
    if (woody() && scene_.from.sandable) sand();
    const bool metal_waits = scene_.from.material == Material::metal && !state_.metal_clean;
    const bool scuff_helps = (state_.top == Top::old || !woody() || scene_.thin == 2) && !metal_waits;
    if (scene_.from.sandable && scuff_helps && !state_.scuffed && !state_.wax) {
      const bool bare_wood = woody() && state_.top == Top::bare;
      if (!bare_wood || scene_.budget_um >= kScuffBareUm) {
        add(StepKind::scuff, -1, 320, bare_wood ? kScuffBareUm : 0);
      }
    }
    const bool early = state_.top == Top::old || state_.grit <= 120;
    if (state_.joint && early) {
      with(StepKind::repair, [](const Product& p) {
        return p.kind == Kind::adhesive && (p.binder == Binder::pva || p.binder == Binder::hide_glue);
      });
      if (std::none_of(moves_.begin(), moves_.end(), [](const Move& m) { return m.kind == StepKind::repair; })) {
        add(StepKind::repair);
      }
    }
    if (state_.damage && !state_.joint && early) {
      with(StepKind::fill, [](const Product& p) { return p.kind == Kind::wood_filler; });
      if (std::none_of(moves_.begin(), moves_.end(), [](const Move& m) { return m.kind == StepKind::fill; })) {
        add(StepKind::fill);
      }
    }
    if (woody() && state_.top == Top::bare && !state_.wiped && !state_.dust && ready_for_coats() && !state_.wax) {
      with(StepKind::spirit_wipe, wipes);
    }
  }

  bool ready_for_coats() const {
    return !scene_.from.sandable || state_.grit >= 320 || (scene_.thin == 2 && (state_.scuffed || state_.stripped));
  }

  void sand() {
    static constexpr std::array<int, 7> kGrits = {80, 100, 120, 150, 180, 220, 320};
    for (int grit : kGrits) {
      if (grit <= state_.grit) continue;
      if (state_.top == Top::old && grit > 120) continue;  // only polishes the old finish
      add(StepKind::sand, -1, grit, removal_um(*scene_.catalog, grit));
    }
  }

  // A topcoat goes on paint that needs one, not on every paint.
  bool wears_soft() const {
    if (state_.top != Top::film) return false;
    const Product& top = product(state_.film);
    const bool soft = top.binder == Binder::chalk || top.binder == Binder::mineral || top.binder == Binder::casein;
    return top.kind == Kind::paint && soft;
  }

  bool scuffable() const {
    const Product& top = product(state_.film);
    return top.kind != Kind::stain && top.kind != Kind::oil && top.kind != Kind::wax;
  }

  void coats() {
    if (static_cast<std::size_t>(state_.layer) >= goal_.layers.size()) return;
    const Layer& layer = goal_.layers[static_cast<std::size_t>(state_.layer)];
    if (state_.in_layer > 0) {  // go on with what was begun
      add(layer.kind == StepKind::wait ? step_for(product(state_.film), goal_.treatment) : layer.kind, state_.film);
      return;
    }
    if (layer.optional && !wears_soft()) return;
    const auto lay = [&](int index) {
      const StepKind kind = layer.kind == StepKind::wait ? step_for(product(index), goal_.treatment) : layer.kind;
      if (lays_film(kind)) add(kind, index);
    };
    for (int index : layer.candidates) lay(index);
    for (int index : layer.swaps) lay(index);
    if (goal_.plain || state_.inserted >= 2) return;
    const bool metal = scene_.from.material == Material::metal;
    if (!metal && !(state_.top == Top::film && is_shellac(product(state_.film)))) {
      with(state_.top == Top::bare && !state_.tannin_open ? StepKind::seal : StepKind::barrier,
           [](const Product& p) { return p.binder == Binder::shellac_dewaxed; });
    }
    const bool colour_coat = std::any_of(layer.candidates.begin(), layer.candidates.end(), [&](int index) {
      return product(index).kind == Kind::paint || product(index).kind == Kind::metal_paint;
    });
    if (colour_coat && !state_.primed) {
      with(StepKind::prime, [&](const Product& p) { return p.kind == Kind::primer && primes_metal(p) == metal; });
    }
  }

  const Scene& scene_;
  const Goal& goal_;
  const State& state_;
  std::vector<Move> moves_;
};

}  // namespace

bool rinses_stripper(const Product& product) { return product.kind == Kind::cleaner && named(product, "neutral"); }
bool cleans_metal(const Product& product) { return product.kind == Kind::cleaner && named(product, "metal"); }
bool primes_metal(const Product& product) { return product.kind == Kind::primer && named(product, "metal"); }

StepKind step_for(const Product& product, Treatment treatment) {
  switch (product.kind) {
    case Kind::cleaner:
      if (rinses_stripper(product)) return StepKind::neutralize;
      return cleans_metal(product) ? StepKind::metal_clean : StepKind::wash;
    case Kind::degreaser:
      return StepKind::degrease;
    case Kind::stripper:
      return StepKind::strip;
    case Kind::spirit:
      return StepKind::spirit_wipe;
    case Kind::wood_filler:
      return StepKind::fill;
    case Kind::grain_filler:
      return StepKind::grain_fill;
    case Kind::stain:
      return StepKind::stain;
    case Kind::sealer:
      return StepKind::seal;
    case Kind::primer:
      return StepKind::prime;
    case Kind::paint:
      return StepKind::paint;
    case Kind::clear:
      return StepKind::clear;
    case Kind::wax:
      return StepKind::wax;
    case Kind::oil:
      return StepKind::oil;
    case Kind::adhesive:
      return treatment == Treatment::fabric ? StepKind::fabric_glue : StepKind::repair;
    case Kind::metal_paint:
      return StepKind::metal_coat;
    case Kind::consumable:
      return StepKind::wait;
  }
  return StepKind::wait;
}

std::vector<Move> moves_from(const Scene& scene, const Goal& goal, const State& state) {
  return Mover(scene, goal, state).all();
}

void count_layers(const Scene& scene, const Goal& goal, const State& before, const Move& move, State& after) {
  if (static_cast<std::size_t>(before.layer) >= goal.layers.size() || move.product < 0) return;
  const Layer& layer = goal.layers[static_cast<std::size_t>(before.layer)];
  const auto in = [&](const std::vector<int>& all) {
    return std::find(all.begin(), all.end(), move.product) != all.end();
  };
  const auto& product = scene.catalog->products[static_cast<std::size_t>(move.product)];
  const StepKind kind = layer.kind == StepKind::wait ? step_for(product, goal.treatment) : layer.kind;
  if ((!in(layer.candidates) && !in(layer.swaps)) || move.kind != kind) {
    if (lays_film(move.kind)) after.inserted = static_cast<std::int8_t>(before.inserted + 1);
    return;
  }
  // A sealer that is to be the finish itself takes three thin coats (common practice, no source).
  const int usual = product.kind == Kind::sealer && kind == StepKind::clear ? std::max(3, product.coats_usual)
                                                                            : std::max(1, product.coats_usual);
  const int coats = !lays_film(kind) ? 1 : layer.coats > 0 ? layer.coats : usual;
  after.in_layer = static_cast<std::int8_t>(before.in_layer + 1);
  if (after.in_layer >= coats) {
    after.layer = static_cast<std::int8_t>(before.layer + 1);
    after.in_layer = after.inserted = 0;
  }
}

bool reached(const Scene& scene, const Goal& goal, const State& state) {
  (void)scene;
  if (!state.touched || state.grime || state.moist || state.residue || state.in_layer > 0) return false;
  if (goal.treatment == Treatment::keep) return state.lead != 1;
  if (goal.treatment == Treatment::fabric) return state.glued;
  if (state.inserted > 0) return false;  // never end on a barrier
  for (std::size_t i = static_cast<std::size_t>(state.layer); i < goal.layers.size(); ++i) {
    if (!goal.layers[i].optional) return false;
  }
  return true;
}

}  // namespace tackcloth::finish
