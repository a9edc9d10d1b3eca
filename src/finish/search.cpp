#include "finish/search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <queue>
#include <unordered_map>

#include "climate/wood.h"

namespace tackcloth::finish {
namespace {

constexpr climate::Air kOrdinaryRoom{20.0, 0.5, 101325.0, 0.1};
// More states than any real surface has; a stop against a catalogue gone wild.
constexpr std::size_t kMostStates = 400000;

// The state in whole words, for hashing. Every field is in it.
using Key = std::array<std::uint64_t, 4>;

Key key_of(const State& s) {
  Key key{};
  std::size_t bit = 0;
  const auto put = [&](std::int64_t value, std::size_t bits) {
    if (bit % 64 + bits > 64) bit += 64 - bit % 64;
    key[bit / 64] |= (static_cast<std::uint64_t>(value) & ((std::uint64_t{1} << bits) - 1)) << (bit % 64);
    bit += bits;
  };
  put(static_cast<std::int64_t>(s.top), 8);
  put(s.film, 16);
  put(s.film_ground, 8);
  put(s.coats, 8);
  put(s.waited, 8);
  put(s.lead, 8);
  for (const bool flag :
       {s.old_finish, s.grime,       s.grease,  s.wax,         s.glue,       s.dust,         s.moist,    s.residue,
        s.spirits,    s.damage,      s.joint,   s.tannin_open, s.scuffed,    s.coarse_start, s.stripped, s.pores_filled,
        s.primed,     s.metal_clean, s.dry_fit, s.glued,       s.test_board, s.wiped,        s.touched}) {
    put(flag ? 1 : 0, 1);
  }
  put(s.grit, 16);
  put(s.fresh_h, 16);
  put(s.removed_um, 32);
  put(s.layer, 8);
  put(s.inserted, 8);
  put(s.in_layer, 8);
  return key;
}

struct KeyHash {
  std::size_t operator()(const Key& key) const {
    std::uint64_t h = 1469598103934665603ull;  // FNV-1a over words
    for (const auto word : key) h = (h ^ word) * 1099511628211ull;
    return static_cast<std::size_t>(h ^ (h >> 29));
  }
};

// Rules sorted by the steps they can speak about, notes left out: they steer nothing.
std::vector<std::vector<const Compiled*>> by_step(const std::vector<Compiled>& rules) {
  std::vector<std::vector<const Compiled*>> out(vocabulary(Word::step).size());
  for (std::size_t step = 0; step < out.size(); ++step) {
    Facts facts;
    facts.fill(kAbsent);
    at(facts, Word::step) = static_cast<double>(step);
    at(facts, Word::lays) = lays_film(static_cast<StepKind>(step)) ? 1 : 0;
    for (const auto& rule : rules) {
      if (rule.rule->severity == catalog::Severity::note) continue;
      const bool can = std::all_of(rule.conditions.begin(), rule.conditions.end(), [&](const Condition& condition) {
        return (condition.word != Word::step && condition.word != Word::lays) || holds(condition, facts);
      });
      if (can) out[step].push_back(&rule);
    }
  }
  return out;
}

struct Node {
  State state;
  int parent = -1;
  Move move;
  double hours = 0, money = 0, labour_h = 0, penalty = 0;
  bool broke = false, done = false;
};

}  // namespace

double NominalHours::film(int product, film::Ground ground, double wet_um, film::Need need) const {
  const auto& from = catalog_.products[static_cast<std::size_t>(product)];
  const std::lock_guard lock(mutex_);
  const auto key = std::pair(product, static_cast<int>(ground));
  auto found = known_.find(key);
  if (found == known_.end()) {
    film::Coat coat;
    coat.product = &from;
    coat.wet_um = wet_um;
    coat.ground = ground;
    const auto air = climate::ClimateSeries::constant(kOrdinaryRoom);
    found = known_.emplace(key, model_.readiness(coat, air, Instant{})).first;
  }
  const double hours = found->second[need].p50;
  // A film that never gets there at 20 °C has no nominal hours; its label speaks instead.
  return std::isfinite(hours) ? hours : label_hours(from, need);
}

double NominalHours::drying_back(double water_g_m2) const {
  return climate::surface_drying_h(kOrdinaryRoom, water_g_m2);
}

std::optional<Path> find_path(const Search& search) {
  const Scene& scene = search.scene;
  std::vector<Node> nodes;
  std::unordered_map<Key, int, KeyHash> index;
  const auto rules = by_step(search.rules);
  const auto value = [&](const Node& node) {
    if (search.prefer == Prefer::fastest) return node.hours + 1e-4 * node.money + node.penalty;
    return node.money + node.labour_h * kLabourMinorPerHour + 1e-2 * node.hours + node.penalty * kLabourMinorPerHour;
  };
  using Entry = std::pair<double, int>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
  nodes.push_back({start_state(scene), -1, {}, 0, 0, 0, 0, false, false});
  index.emplace(key_of(nodes.front().state), 0);
  open.emplace(0.0, 0);

  // What the newest film still has to be waited for.
  const auto wait_for = [&](const State& state, int needed) {
    if (needed < 0 || state.film < 0) return 0.0;
    const auto& top = scene.catalog->products[static_cast<std::size_t>(state.film)];
    const auto* application = application_of(top);
    const double wet = application != nullptr ? application->wet_um : top.label.wet_um;
    const auto ground = static_cast<film::Ground>(state.film_ground);
    const auto at_need = [&](int need) {
      return need < 0 ? 0.0 : search.hours.film(state.film, ground, wet, static_cast<film::Need>(need));
    };
    return std::max(0.0, at_need(needed) - at_need(state.waited));
  };
  const auto waited = [&](State state, int needed) {
    if (needed >= 0 && state.film >= 0) {
      const auto& top = scene.catalog->products[static_cast<std::size_t>(state.film)];
      state.waited = static_cast<std::int8_t>(longer(top, state.waited, needed));
    }
    return state;
  };
  // Price of the rules a step breaks; nothing when it may not be done.
  const auto judge = [&](const Facts& facts, Node& node) {
    for (const Compiled* asking : rules[static_cast<std::size_t>(at(facts, Word::step))]) {
      const Compiled& rule = *asking;
      if (!speaks(rule, facts)) continue;
      if (rule.rule->severity == catalog::Severity::caution) {
        node.penalty += kCautionHours;
      } else if (search.may_break) {
        node.penalty += kMustNotHours;
        node.broke = true;
      } else {
        return false;
      }
    }
    return true;
  };
  const auto offer = [&](Node node) {
    const double cost = value(node);
    const auto [place, fresh] = index.emplace(key_of(node.state), static_cast<int>(nodes.size()));
    if (fresh) {
      nodes.push_back(std::move(node));
      open.emplace(cost, place->second);
      return;
    }
    Node& known = nodes[static_cast<std::size_t>(place->second)];
    if (!known.done && cost < value(known)) {
      known = std::move(node);
      open.emplace(cost, place->second);
    }
  };

  constexpr std::int8_t kEndLayer = 120;  // marks the state after the last wait
  while (!open.empty()) {
    const auto [cost, at_node] = open.top();
    open.pop();
    const Node here = nodes[static_cast<std::size_t>(at_node)];
    if (here.done || cost > value(here) + 1e-9) continue;
    nodes[static_cast<std::size_t>(at_node)].done = true;
    if (here.state.layer == kEndLayer) {
      Path path;
      path.hours = here.hours;
      path.money = here.money;
      path.broke = here.broke;
      for (int i = here.parent; i > 0; i = nodes[static_cast<std::size_t>(i)].parent) {
        path.moves.push_back(nodes[static_cast<std::size_t>(i)].move);
      }
      std::reverse(path.moves.begin(), path.moves.end());
      return path;
    }
    if (nodes.size() > kMostStates) break;
    if (reached(scene, search.goal, here.state)) {
      Move end;
      end.kind = StepKind::put_back;
      const int needed = needed_before(scene, here.state, end);
      Node last = here;
      last.parent = at_node;
      last.done = false;
      last.hours += wait_for(here.state, needed);
      last.state = waited(here.state, needed);
      if (judge(facts_at_end(scene, last.state), last)) {
        last.state.layer = kEndLayer;
        offer(std::move(last));
      }
    }
    for (const Move& move : moves_from(scene, search.goal, here.state)) {
      const int needed = needed_before(scene, here.state, move);
      const State ready = waited(here.state, needed);
      Node next = here;
      next.parent = at_node;
      next.done = false;
      next.move = move;
      if (!judge(facts_of(scene, ready, move), next)) continue;
      const Work work = work_of(scene, here.state, move);
      next.hours += wait_for(here.state, needed) + (work.minutes_fixed + work.minutes_per_m2) / 60 + work.rest_h;
      if (work.water_g_m2 > 0) next.hours += search.hours.drying_back(work.water_g_m2);
      if (work.is_film && !lays_film(move.kind)) {
        next.hours += search.hours.film(move.product, ground_of(scene, here.state), work.wet_um, work.own_need);
      }
      next.labour_h += (work.minutes_fixed + work.minutes_per_m2) / 60;
      next.money += work.cost_per_m2;
      next.state = after_move(scene, ready, move);
      count_layers(scene, search.goal, here.state, move, next.state);
      if (move.product >= 0 && static_cast<std::size_t>(here.state.layer) < search.goal.layers.size()) {
        const auto& layer = search.goal.layers[static_cast<std::size_t>(here.state.layer)];
        const bool swap = std::find(layer.swaps.begin(), layer.swaps.end(), move.product) != layer.swaps.end();
        const bool counted = next.state.layer != here.state.layer || next.state.in_layer != here.state.in_layer;
        if (swap && counted && here.state.in_layer == 0) next.penalty += kSwapHours;
      }
      offer(std::move(next));
    }
  }
  return std::nullopt;
}

}  // namespace tackcloth::finish
