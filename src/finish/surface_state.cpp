#include "finish/surface_state.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace tackcloth::finish {

using catalog::Binder;
using catalog::Cure;
using catalog::Kind;
using film::Need;
using piece::Existing;
using piece::Material;

namespace {

bool names(const std::vector<std::string>& damage, std::initializer_list<const char*> words) {
  for (const auto& text : damage) {
    for (const char* word : words) {
      if (text.find(word) != std::string::npos) return true;
    }
  }
  return false;
}

double yes(bool value) { return value ? 1 : 0; }

// "sand" with a fine grit on a film is a scuff by another name.
bool is_scuff(const State& state, const Move& move) {
  return move.kind == StepKind::scuff || (move.kind == StepKind::sand && state.top != Top::bare && move.grit >= 220);
}

double system_of(const catalog::Product& product) {
  if (catalog::is_water_system(product)) return 1;
  return catalog::is_oil_system(product) ? 2 : 0;
}

bool crosses(const catalog::Product& top, const catalog::Product& next) {
  const double a = system_of(top), b = system_of(next);
  return a != 0 && b != 0 && a != b;
}

// Films that are scuffed between their own coats; shellac and lacquer melt into themselves, oils and stains soak in.
bool scuffed_between(const catalog::Product& product) {
  const bool hard =
      product.cure == Cure::oxidation || product.cure == Cure::crosslink || product.cure == Cure::coalescence;
  return hard && (product.kind == Kind::clear || product.binder == Binder::alkyd) && product.kind != Kind::stain &&
         product.kind != Kind::primer && !is_shellac(product);
}

const catalog::Product* product_of(const Scene& scene, int index) {
  return index < 0 ? nullptr : &scene.catalog->products[static_cast<std::size_t>(index)];
}

}  // namespace

bool lays_film(StepKind kind) {
  switch (kind) {
    case StepKind::grain_fill:
    case StepKind::stain:
    case StepKind::barrier:
    case StepKind::seal:
    case StepKind::prime:
    case StepKind::paint:
    case StepKind::clear:
    case StepKind::oil:
    case StepKind::wax:
    case StepKind::metal_coat:
      return true;
    default:
      return false;
  }
}

bool is_shellac(const catalog::Product& product) {
  return product.binder == Binder::shellac_dewaxed || product.binder == Binder::shellac_waxed;
}

double removal_um(const catalog::Catalog& catalog, int grit) {
  if (const auto* abrasive = catalog.abrasive(grit)) return abrasive->removal_um;
  // From memory: one proper pass takes about half the median grain size (FEPA 43) of hardwood.
  static constexpr std::array<std::pair<int, double>, 7> kTable = {
      {{80, 100}, {100, 80}, {120, 62}, {150, 50}, {180, 41}, {220, 34}, {320, 23}}};
  for (const auto& [known, um] : kTable) {
    if (grit <= known) return um;
  }
  return 15;
}

double label_hours(const catalog::Product& product, Need need) {
  const auto& label = product.label;
  switch (need) {
    case Need::touch:
      return label.touch_h;
    case Need::scuff:
      return label.scuff_h;
    case Need::recoat_same:
      return label.recoat_h;
    case Need::recoat_other:
      return std::max(label.recoat_other_h, label.recoat_h);
    case Need::tape:
    case Need::handle:
      return label.handle_h;
    case Need::stack:
    case Need::use:
      return label.use_h;
  }
  return label.use_h;
}

int longer(const catalog::Product& product, int a, int b) {
  if (a < 0 || a == b) return b < 0 ? a : b;
  if (b < 0) return a;
  const double hours_a = label_hours(product, static_cast<Need>(a));
  const double hours_b = label_hours(product, static_cast<Need>(b));
  if (hours_a == hours_b) return std::max(a, b);
  return hours_a > hours_b ? a : b;
}

Scene make_scene(const catalog::Catalog& catalog, const Surface& from) {
  Scene scene;
  scene.catalog = &catalog;
  scene.from = from;
  scene.woody =
      from.material == Material::solid_wood || from.material == Material::veneer || from.material == Material::board;
  if (from.existing == Existing::laminate) {
    scene.from.material = Material::laminate;
    scene.woody = false;
  }
  if (const auto* species = catalog.find_species(from.species); species != nullptr && scene.woody) {
    scene.open_pored = species->open_pored;
    scene.tannin = species->tannin;
  }
  scene.budget_um = from.sanding_budget_um;
  const double fine = removal_um(catalog, 220) + removal_um(catalog, 320);
  if (scene.woody && scene.budget_um < fine) {
    scene.thin = 2;
  } else if (scene.woody && scene.budget_um < fine + removal_um(catalog, 120)) {
    scene.thin = 1;
  }
  return scene;
}

State start_state(const Scene& scene) {
  const Surface& from = scene.from;
  State state;
  const bool finished = from.existing != Existing::bare && from.existing != Existing::bare_metal &&
                        from.existing != Existing::laminate && from.material != Material::fabric;
  state.top = finished ? Top::old : Top::bare;
  state.old_finish = finished;
  state.lead = from.lead_possible ? 1 : 0;
  state.grime = from.grimy && from.material != Material::fabric;
  state.grease = from.material != Material::fabric && from.grimy &&
                 (from.material == Material::metal || from.material == Material::laminate ||
                  names(from.damage, {"grease", "greasy", "smoke", "nicotine", "silicone"}));
  // What nobody knows is taken as waxed or polished with silicone.
  state.wax = (finished && (from.existing == Existing::wax || from.existing == Existing::unknown)) ||
              names(from.damage, {"wax", "silicone", "polish"});
  state.glue = from.old_glue;
  state.moist = names(from.damage, {"damp", "wet", "soaked", "mould", "mold"});
  for (const auto& text : from.damage) {
    // Sanding or stripping takes these away; everything else has to be made good.
    const std::vector<std::string> one = {text};
    const bool surface_only =
        names(one, {"scratch", "white ring", "ring",     "stain",    "fading",    "sun",        "grease",
                    "greasy",  "smoke",      "nicotine", "silicone", "wax",       "polish",     "damp",
                    "wet",     "soaked",     "mould",    "mold",     "open pore", "open grain", "rust"});
    if (surface_only || !scene.woody) continue;
    if (names(one, {"joint", "loose", "lifting", "wobbl"})) {
      state.joint = true;  // glued and cramped
    } else {
      state.damage = true;  // filled
    }
  }
  state.tannin_open = scene.tannin && !finished;
  return state;
}

int needed_before(const Scene& scene, const State& state, const Move& move) {
  const auto* top = product_of(scene, state.film);
  if (top == nullptr || state.top != Top::film) return -1;
  const auto need = [](Need n) { return static_cast<int>(n); };
  if (is_scuff(state, move) || move.kind == StepKind::sand) return need(Need::scuff);
  if (lays_film(move.kind)) {
    const auto* next = product_of(scene, move.product);
    if (next == nullptr) return need(Need::recoat_same);
    // Strong solvent bites an oil-based film that has only just dried.
    const bool bites = next->carrier == catalog::Carrier::lacquer_thinner && catalog::is_oil_system(*top);
    if (bites || crosses(*top, *next)) return need(Need::recoat_other);
    const bool soft_top =
        top->binder == Binder::chalk || top->binder == Binder::mineral || top->binder == Binder::casein;
    if (next->kind == Kind::wax && top->kind != Kind::wax && !soft_top && !is_shellac(*top)) {
      return need(Need::recoat_other);
    }
    return need(Need::recoat_same);
  }
  switch (move.kind) {
    case StepKind::spirit_wipe:
      return is_shellac(*top) ? need(Need::recoat_same) : need(Need::use);
    case StepKind::mask:
      return need(Need::tape);
    case StepKind::dust_off:
      return need(Need::touch);
    case StepKind::wash:
    case StepKind::degrease:
      return need(Need::use);
    case StepKind::repair:
    case StepKind::fill:
      return need(Need::scuff);
    case StepKind::fabric_dry_fit:
    case StepKind::fabric_glue:
    case StepKind::put_back:
    case StepKind::hand_over:
      return need(Need::handle);
    default:
      return -1;
  }
}

bool scuff_due(const Scene& scene, const State& state, const Move& move) {
  // Old coatings are scuffed (P320 or finer) before what has to hold on to them; what soaks in or melts in is not.
  const auto* next = product_of(scene, move.product);
  if (next == nullptr || !lays_film(move.kind) || state.scuffed || next->kind == Kind::wax) return false;
  if (state.top == Top::bare)
    return scene.from.material == Material::metal || scene.from.material == Material::laminate;
  if (state.top == Top::old) {
    // Dewaxed shellac holds on what may not be abraded.
    return next->binder != Binder::shellac_dewaxed || scene.from.sandable;
  }
  const auto& top = *product_of(scene, state.film);
  if (top.kind == Kind::grain_filler) return true;  // levelled before anything goes over it
  if (top.kind == Kind::stain || top.kind == Kind::oil || top.kind == Kind::wax || is_shellac(top)) return false;
  if (&top == next || (top.kind == Kind::clear && next->kind == Kind::clear)) return scuffed_between(top);
  return crosses(top, *next);
}

Facts facts_of(const Scene& scene, const State& state, const Move& move) {
  Facts facts;
  facts.fill(kAbsent);
  const Surface& from = scene.from;
  const auto* next = product_of(scene, move.product);
  const auto* top = state.top == Top::film ? product_of(scene, state.film) : nullptr;
  const bool scuffing = is_scuff(state, move);
  at(facts, Word::step) = static_cast<double>(scuffing ? StepKind::scuff : move.kind);
  at(facts, Word::lays) = yes(lays_film(move.kind));
  at(facts, Word::material) = static_cast<double>(from.material);
  at(facts, Word::surface) = static_cast<double>(state.top);
  at(facts, Word::existing) = static_cast<double>(from.existing);
  at(facts, Word::old_finish) = yes(state.old_finish);
  at(facts, Word::lead) = state.lead;
  at(facts, Word::grime) = yes(state.grime);
  at(facts, Word::grease) = yes(state.grease);
  at(facts, Word::wax) = yes(state.wax);
  at(facts, Word::glue) = yes(state.glue);
  at(facts, Word::dust) = yes(state.dust);
  at(facts, Word::moist) = yes(state.moist);
  at(facts, Word::residue) = yes(state.residue);
  at(facts, Word::spirits) = yes(state.spirits);
  at(facts, Word::stubborn) = yes(from.stubborn);
  at(facts, Word::interior) = yes(from.interior);
  at(facts, Word::sandable) = yes(from.sandable);
  at(facts, Word::open_pored) = yes(scene.open_pored);
  at(facts, Word::pores_filled) = yes(state.pores_filled);
  at(facts, Word::damage) = yes(state.damage || state.joint);
  at(facts, Word::tannin_open) = yes(state.tannin_open);
  at(facts, Word::thin) = scene.thin;
  at(facts, Word::over_budget) = yes(state.removed_um + move.removes_um > scene.budget_um + 1e-9);
  if (move.kind == StepKind::sand && !scuffing) {
    at(facts, Word::grit) = move.grit;
    at(facts, Word::first_sand) = yes(state.grit == 0);
    if (state.grit > 0) at(facts, Word::grit_ratio) = static_cast<double>(move.grit) / state.grit;
  }
  at(facts, Word::coarse_start) = yes(state.coarse_start);
  const bool fine_enough = state.grit >= 320 || (scene.thin == 2 && (state.scuffed || scene.budget_um < kScuffBareUm));
  at(facts, Word::sanded_enough) = yes(!scene.woody || !from.sandable || fine_enough);
  at(facts, Word::scuff_due) = yes(scuff_due(scene, state, move));
  const int needed = needed_before(scene, state, move);
  if (needed >= 0) {
    const int given = longer(*top, state.waited, -1);
    at(facts, Word::wait_short) = yes(given < 0 || longer(*top, given, needed) != given);
    if (given >= 0 && label_hours(*top, static_cast<Need>(given)) >= label_hours(*top, static_cast<Need>(needed))) {
      at(facts, Word::wait_short) = 0;
    }
  }
  if (top != nullptr && next != nullptr) {
    at(facts, Word::crossing) = yes(crosses(*top, *next));
    at(facts, Word::same_product) = yes(top == next);
  }
  if (top != nullptr) {
    const double left = state.waited < 0 ? 0 : label_hours(*top, static_cast<Need>(state.waited));
    at(facts, Word::window_closed) =
        yes(top->label.recoat_max_h && left > *top->label.recoat_max_h + 1e-9 && !state.scuffed);
    at(facts, Word::top_kind) = static_cast<double>(top->kind);
    at(facts, Word::top_binder) = static_cast<double>(top->binder);
    at(facts, Word::top_carrier) = static_cast<double>(top->carrier);
    at(facts, Word::top_system) = system_of(*top);
  }
  if (next != nullptr) {
    at(facts, Word::kind) = static_cast<double>(next->kind);
    at(facts, Word::binder) = static_cast<double>(next->binder);
    at(facts, Word::carrier) = static_cast<double>(next->carrier);
    at(facts, Word::system) = system_of(*next);
  }
  at(facts, Word::primed) = yes(state.primed);
  at(facts, Word::metal_clean) = yes(state.metal_clean);
  at(facts, Word::dry_fit) = yes(state.dry_fit);
  at(facts, Word::test_board) = yes(state.test_board);
  at(facts, Word::wiped) = yes(state.wiped);
  if (top != nullptr) {
    const double left = state.waited < 0 ? 0 : label_hours(*top, static_cast<Need>(state.waited));
    at(facts, Word::fresh_below) = yes(state.fresh_h > left);
  }
  at(facts, Word::thickness_ratio) = move.thickness_ratio;
  at(facts, Word::method_known) = yes(move.method_known);
  return facts;
}

Facts facts_at_end(const Scene& scene, const State& state) {
  Move end;
  end.kind = StepKind::put_back;  // what follows the last coat: the piece is handled
  Facts facts = facts_of(scene, state, end);
  at(facts, Word::step) = static_cast<double>(vocabulary(Word::step).size() - 1);
  return facts;
}

State after_move(const Scene& scene, const State& before, const Move& move) {
  State state = before;
  state.touched = true;
  if (is_scuff(before, move)) {
    state.scuffed = true;
    state.dust = true;
    if (before.top == Top::bare) state.wiped = false;
    state.removed_um += static_cast<std::int32_t>(std::lround(move.removes_um));
    return state;
  }
  const auto bare_again = [&] {
    state.tannin_open = scene.tannin;
    state.top = Top::bare;
    state.old_finish = false;
    state.film = -1;
    state.coats = 0;
    state.waited = -1;
    state.fresh_h = 0;
    state.scuffed = state.primed = state.wiped = state.pores_filled = state.metal_clean = false;
  };
  if (lays_film(move.kind)) {
    const auto* next = product_of(scene, move.product);
    if (const auto* below = product_of(scene, state.film); below != nullptr && state.top == Top::film) {
      const bool coat = below->kind == Kind::paint || below->kind == Kind::primer || below->kind == Kind::clear;
      const double left = state.waited < 0 ? 0 : label_hours(*below, static_cast<Need>(state.waited));
      const double own = coat && catalog::is_water_system(*below) ? below->label.use_h - left : 0;
      state.fresh_h = static_cast<std::int16_t>(std::clamp(std::max(own, state.fresh_h - left), 0.0, 30000.0));
    }
    if (state.top == Top::film && state.film == move.product) {
      state.coats = static_cast<std::int8_t>(std::min(state.coats + 1, 100));
    } else {
      state.coats = 1;
      state.film_ground = static_cast<std::int8_t>(state.top == Top::bare && scene.from.material == Material::metal
                                                       ? film::Ground::metal
                                                   : state.top == Top::bare && scene.woody ? film::Ground::bare_wood
                                                                                           : film::Ground::sealed);
    }
    state.top = Top::film;
    state.film = static_cast<std::int16_t>(move.product);
    state.waited = static_cast<std::int8_t>(move.given);
    state.scuffed = state.dust = false;
    if (move.kind == StepKind::grain_fill) state.pores_filled = true;
    if (next != nullptr) {
      if (is_shellac(*next) || (next->kind == Kind::primer && catalog::is_oil_system(*next))) state.tannin_open = false;
      if (next->kind == Kind::primer) state.primed = true;
    }
    return state;
  }
  switch (move.kind) {
    case StepKind::lead_test:
      if (state.lead == 1) state.lead = 2;
      break;
    case StepKind::test_board:
      state.test_board = true;
      break;
    case StepKind::degrease:
      state.grease = false;
      [[fallthrough]];
    case StepKind::wash:
      state.grime = false;
      state.moist = !move.rests;
      break;
    case StepKind::dry_out:
    case StepKind::wait:
      if (move.rests) state.moist = false;
      break;
    case StepKind::scrape_glue:
      state.glue = false;
      break;
    case StepKind::strip:
      bare_again();
      state.grit = 0;
      state.coarse_start = false;
      state.wax = false;
      state.residue = state.stripped = true;
      break;
    case StepKind::neutralize:
      state.residue = false;
      state.moist = !move.rests;
      break;
    case StepKind::sand:
      if (state.top != Top::bare) bare_again();
      if (state.grit == 0) state.coarse_start = move.grit < 120;
      state.grit = static_cast<std::int16_t>(move.grit);
      state.removed_um += static_cast<std::int32_t>(std::lround(move.removes_um));
      state.dust = true;
      state.scuffed = state.wiped = false;
      break;
    case StepKind::dust_off:
      state.dust = false;
      break;
    case StepKind::spirit_wipe:
      state.wax = state.dust = false;
      state.wiped = true;
      state.spirits = !move.rests;
      break;
    case StepKind::fill:
      state.damage = state.scuffed = false;
      break;
    case StepKind::repair: {
      const auto* with = product_of(scene, move.product);
      if (with == nullptr || with->kind != Kind::wood_filler) state.joint = false;
      if (with == nullptr || with->kind == Kind::wood_filler) state.damage = false;
      break;
    }
    case StepKind::metal_clean:
      state.metal_clean = true;
      state.moist = !move.rests;
      break;
    case StepKind::fabric_dry_fit:
      state.dry_fit = true;
      break;
    case StepKind::fabric_glue:
      state.glued = true;
      break;
    default:
      break;
  }
  return state;
}

}  // namespace tackcloth::finish
