#include <algorithm>
#include <cmath>
#include <set>

#include "catalog/read.h"
#include "catalog/values.h"
#include "catalog/words.h"

namespace tackcloth::catalog {
namespace {

constexpr double kMassTolerance = 0.005;   // rounding of the fractions in the file
constexpr double kVolumeTolerance = 0.02;  // ideal mixing; water and alcohol shrink by up to about 3 %

template <class Enum>
Enum need_choice(reading::Table& t, std::string_view key, const std::vector<std::string>& words) {
  const auto index = t.choice(key, words);
  if (!index && !t.has(key)) {
    std::string all;
    for (const auto& word : words) all += (all.empty() ? "" : " ") + word;
    t.problem(key, "'" + std::string(key) + "' is missing", "one of: " + all, "add it");
  }
  return static_cast<Enum>(index.value_or(0));
}

Label read_label(reading::Table t, const std::string& who) {
  Label l;
  const double longest_h = 10000;
  l.wet_um = t.need_number("wet_um", 1, 5000);
  l.temp_c = t.number("temp_c", 0, 45).value_or(l.temp_c);
  l.rh = t.number("rh", 0.01, 0.95).value_or(l.rh);
  l.air_m_s = t.number("air_m_s", 0.01, 5).value_or(l.air_m_s);
  l.touch_h = t.need_number("touch_h", 0.001, longest_h);
  l.scuff_h = t.need_number("scuff_h", 0.001, longest_h);
  l.recoat_h = t.need_number("recoat_h", 0.001, longest_h);
  l.recoat_max_h = t.number("recoat_max_h", 0.001, longest_h);
  l.recoat_other_h = t.need_number("recoat_other_h", 0.001, longest_h);
  l.handle_h = t.need_number("handle_h", 0.001, longest_h);
  l.use_h = t.need_number("use_h", 0.001, longest_h);
  const auto ordered = [&](const char* first, double a, const char* then, double b) {
    // A value that is missing or out of range has been reported already and reads as its low end or zero.
    if (!t.has(first) || !t.has(then) || a <= b) return;
    t.problem(then,
              "the label of '" + who + "' has " + then + " (" + number_text(b) + ") before " + first + " (" +
                  number_text(a) + ")",
              std::string(first) + " of " + then + " or less", "read the label again");
  };
  ordered("touch_h", l.touch_h, "recoat_h", l.recoat_h);
  ordered("touch_h", l.touch_h, "scuff_h", l.scuff_h);
  ordered("touch_h", l.touch_h, "handle_h", l.handle_h);
  ordered("handle_h", l.handle_h, "use_h", l.use_h);
  if (l.recoat_max_h) ordered("recoat_h", l.recoat_h, "recoat_max_h", *l.recoat_max_h);
  t.finish();
  return l;
}

std::vector<Application> read_applications(reading::Table& t) {
  std::vector<Application> out;
  std::set<Method> seen;
  for (auto& one : t.tables("applications")) {
    Application a;
    a.method = need_choice<Method>(one, "method", method_words());
    a.wet_um = one.need_number("wet_um", 1, 5000);
    a.transfer = one.need_number("transfer", 0.05, 1);
    a.minutes_per_m2 = one.need_number("minutes_per_m2", 0.1, 600);
    if (!seen.insert(a.method).second) {
      one.problem("method", "method '" + to_text(a.method) + "' is given twice", "each method once", "remove one");
    }
    one.finish();
    out.push_back(a);
  }
  return out;
}

std::vector<Pack> read_packs(reading::Table& t) {
  std::vector<Pack> out;
  for (auto& one : t.tables("packs")) {
    Pack pack;
    pack.amount = one.need_number("amount", 0.001, 10000);
    pack.price = read_price(one, "price");
    one.finish();
    out.push_back(pack);
  }
  return out;
}

const Component* find_component(const std::vector<Component>& all, const std::string& id) {
  const auto it = std::find_if(all.begin(), all.end(), [&](const Component& c) { return c.id == id; });
  return it == all.end() ? nullptr : &*it;
}

// Reads the volatile parts and checks that masses and volumes close.
void read_mixture(reading::Table& t, Product& p, const std::vector<Component>& components) {
  p.density_kg_l = t.need_number("density_kg_l", 0.5, 4);
  p.solids_mass_fraction = t.need_number("solids_mass_fraction", 0, 1);
  p.solids_volume_fraction = t.need_number("solids_volume_fraction", 0, 1);
  double mass = p.solids_mass_fraction;
  double volatile_volume = 0;  // litres per litre of product
  bool known = true;
  if (auto parts = t.table("volatiles")) {
    std::vector<std::string> ids;
    ids.reserve(components.size());
    for (const auto& c : components) ids.push_back(c.id);
    for (const auto& id : parts->keys()) {
      const double fraction = parts->need_number(id, 0, 1);
      const Component* component = find_component(components, id);
      if (!component) {
        const auto near = reading::nearest(id, ids);
        parts->problem(id, "'" + id.substr(0, 64) + "' is not a component", "an id of components.toml",
                       near ? "did you mean '" + *near + "'?" : "add it to components.toml");
        known = false;
        continue;
      }
      p.volatiles.push_back({id, fraction});
      mass += fraction;
      volatile_volume += p.density_kg_l * fraction / component->density_kg_l;
    }
    parts->finish();
    // By id, whatever order the file has: everything made from the catalogue stays the same.
    std::sort(p.volatiles.begin(), p.volatiles.end(),
              [](const Volatile& a, const Volatile& b) { return a.component < b.component; });
  }
  if (!known || !t.has("solids_mass_fraction") || !t.has("density_kg_l") || !t.has("solids_volume_fraction")) return;
  if (std::abs(mass - 1) > kMassTolerance) {
    t.problem("volatiles", "solids and volatiles of '" + p.id + "' sum to " + number_text(std::round(mass * 1e4) / 1e4),
              "1 within " + number_text(kMassTolerance), "mend solids_mass_fraction or the volatiles");
    return;
  }
  const double solids_volume = 1 - volatile_volume;
  if (std::abs(solids_volume - p.solids_volume_fraction) > kVolumeTolerance) {
    t.problem("solids_volume_fraction",
              "the volumes of '" + p.id + "' do not close: the volatiles leave " +
                  number_text(std::round(solids_volume * 1e3) / 1e3) + " for the solids",
              "solids_volume_fraction within " + number_text(kVolumeTolerance) + " of it",
              "mend density_kg_l or solids_volume_fraction");
  }
}

// A can that sprays has a gas in it, and the gas burns: it must be named.
void read_propellant(reading::Table& t, Product& p, const std::vector<Component>& components) {
  const bool can = std::any_of(p.applications.begin(), p.applications.end(),
                               [](const Application& a) { return a.method == Method::aerosol; });
  if (auto gas = t.table("propellant")) {
    Propellant read;
    read.component = gas->need_text("component");
    read.mass_fraction = gas->need_number("mass_fraction", 0.01, 0.95);
    if (gas->has("component") && !find_component(components, read.component))
      gas->problem("component", "'" + read.component.substr(0, 64) + "' is not a component", "an id of components.toml",
                   "add it to components.toml");
    gas->finish();
    p.propellant = std::move(read);
  } else if (can && !t.has("propellant")) {
    t.problem("propellant", "'" + p.id + "' is a spray can but does not say what drives it",
              "propellant = { component = ..., mass_fraction = ... }", "add it; a hydrocarbon gas when in doubt");
  }
}

void read_limits(reading::Table& t, Product& p) {
  p.absorbency = t.number("absorbency", 0, 1).value_or(0);
  p.min_temp_c = t.need_number("min_temp_c", -10, 40);
  p.max_temp_c = t.need_number("max_temp_c", 5, 60);
  p.max_rh = t.need_number("max_rh", 0.1, 1);
  p.min_film_temp_c = t.number("min_film_temp_c", -10, 40);
  if (t.has("min_temp_c") && t.has("max_temp_c") && p.min_temp_c >= p.max_temp_c) {
    t.problem("max_temp_c", "max_temp_c of '" + p.id + "' is not above min_temp_c", "a higher temperature",
              "swap them");
  }
  p.sheens = t.texts("sheens");
  p.flatted = t.boolean("flatted").value_or(false);
  const auto rags = t.boolean("self_heating");
  if (!rags && !t.has("self_heating")) {
    // A fire risk is never left to a default.
    t.problem("self_heating", "'" + p.id + "' does not say whether its rags can catch fire on their own",
              "true or false", "add self_heating; true when in doubt");
  }
  p.self_heating = rags.value_or(true);
  p.flash_point_c = t.number("flash_point_c", -100, 400);
  p.pot_life_h = t.number("pot_life_h", 0.01, 10000);
}

void read_film(reading::Table& t, Product& p) {
  if (auto label = t.table("label")) {
    p.label = read_label(std::move(*label), p.id);
  } else if (!t.has("label")) {
    t.problem("label", "'" + p.id + "' leaves a film but has no label", "a table [product.label]",
              "add the times of the label");
  }
  p.rate_sigma_log = t.need_number("rate_sigma_log", 0.01, 1.5);
  const auto coats = t.integer("coats_usual", 1, 12);
  if (!coats && !t.has("coats_usual")) {
    t.problem("coats_usual", "'coats_usual' is missing", "a whole number, 1 to 12", "add it");
  }
  p.coats_usual = static_cast<int>(coats.value_or(1));
  if (p.applications.empty()) {
    t.problem("applications", "'" + p.id + "' leaves a film but says no way to put it on", "at least one application",
              "add [[product.applications]]");
  }
  if (p.ready_by_hand.empty()) {
    t.problem("ready_by_hand", "'" + p.id + "' does not say how a hand tells that it is ready", "a sentence",
              "add ready_by_hand");
  }
  if (p.bench_notes.empty()) {
    t.problem("bench_notes", "'" + p.id + "' has no bench notes", "at least one sentence", "add bench_notes");
  }
}

// A misspelt kind is one mistake: the rest of the entry is read as what it looks like, not reported line by line.
Kind read_kind(reading::Table& t) {
  if (const auto index = t.choice("kind", kind_words())) return static_cast<Kind>(*index);
  if (!t.has("kind")) need_choice<Kind>(t, "kind", kind_words());
  if (t.has("label")) return Kind::clear;
  return t.has("density_kg_l") ? Kind::cleaner : Kind::consumable;
}

}  // namespace

Product read_product(reading::Table t, const std::vector<Component>& components) {
  static const std::vector<std::string> units = {"l", "piece", "m", "m2", "sheet"};
  Product p;
  p.id = read_id(t);
  p.name = t.need_text("name");
  p.kind = read_kind(t);
  if (const auto unit = t.choice("unit", units)) p.unit = units[static_cast<std::size_t>(*unit)];
  p.ready_by_hand = t.text("ready_by_hand").value_or("");
  p.bench_notes = t.texts("bench_notes");
  p.hazards = t.texts("hazards");
  p.shelf_life_months = t.number("shelf_life_months", 0.1, 600);
  p.opened_months = t.number("opened_months", 0.1, 600);
  p.packs = read_packs(t);
  p.applications = read_applications(t);
  if (p.kind == Kind::consumable) {
    // Nothing that is mixed, spread or dried: an empty film, so that no sum is made with a default.
    p.solids_mass_fraction = p.solids_volume_fraction = 1;
    p.cure = Cure::none;
  } else {
    p.binder = need_choice<Binder>(t, "binder", binder_words());
    p.carrier = need_choice<Carrier>(t, "carrier", carrier_words());
    p.cure = need_choice<Cure>(t, "cure", cure_words());
    read_mixture(t, p, components);
    read_propellant(t, p, components);
    read_limits(t, p);
  }
  if (leaves_film(p)) {
    read_film(t, p);
  } else if (t.has("label")) {
    t.table("label");
    t.problem("label", "the label of a " + to_text(p.kind) + " is never read: it leaves no film", "no label",
              "remove it");
  }
  p.marks = read_marks(t, p.id, values_of(p));
  t.finish();
  return p;
}

}  // namespace tackcloth::catalog
