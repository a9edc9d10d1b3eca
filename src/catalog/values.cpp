#include "catalog/values.h"

#include <charconv>
#include <set>

#include "catalog/words.h"

namespace tackcloth::catalog {
namespace {

std::string joined(const std::vector<std::string>& parts, const char* between) {
  std::string out;
  for (const auto& part : parts) out += (out.empty() ? "" : between) + part;
  return out;
}

std::string yes_no(bool value) { return value ? "yes" : "no"; }

std::string packs_text(const std::vector<Pack>& packs) {
  std::vector<std::string> parts;
  parts.reserve(packs.size());
  for (const auto& pack : packs) parts.push_back(number_text(pack.amount) + " for " + to_text(pack.price));
  return joined(parts, "; ");
}

void label_values(const Label& label, Values& out) {
  const auto add = [&out](const char* name, double value) {
    out.emplace_back(std::string("label.") + name, number_text(value));
  };
  add("wet_um", label.wet_um);
  add("temp_c", label.temp_c);
  add("rh", label.rh);
  add("air_m_s", label.air_m_s);
  add("touch_h", label.touch_h);
  add("scuff_h", label.scuff_h);
  add("recoat_h", label.recoat_h);
  if (label.recoat_max_h) add("recoat_max_h", *label.recoat_max_h);
  add("recoat_other_h", label.recoat_other_h);
  add("handle_h", label.handle_h);
  add("use_h", label.use_h);
}

std::string group_of(const std::string& name) {
  const auto dot = name.find('.');
  return dot == std::string::npos ? std::string() : name.substr(0, dot);
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

}  // namespace

std::string number_text(double value) {
  char buffer[32];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value);
  return std::string(buffer, end.ptr);
}

// Words that say what a thing is (id, name, kind, binder, carrier, cure, unit) are no facts and carry no mark.
Values values_of(const Product& p) {
  Values out;
  const auto add = [&out](std::string name, double value) { out.emplace_back(std::move(name), number_text(value)); };
  const bool mixed = p.kind != Kind::consumable;
  if (mixed) {
    add("density_kg_l", p.density_kg_l);
    add("solids_mass_fraction", p.solids_mass_fraction);
    add("solids_volume_fraction", p.solids_volume_fraction);
    for (const auto& v : p.volatiles) add("volatiles." + v.component, v.mass_fraction);
    if (p.propellant) {
      out.emplace_back("propellant.component", p.propellant->component);
      add("propellant.mass_fraction", p.propellant->mass_fraction);
    }
  }
  if (leaves_film(p)) {
    label_values(p.label, out);
    add("coats_usual", p.coats_usual);
    add("rate_sigma_log", p.rate_sigma_log);
  }
  for (const auto& a : p.applications) {
    const std::string at = "applications." + method_words()[static_cast<std::size_t>(a.method)] + ".";
    add(at + "wet_um", a.wet_um);
    add(at + "transfer", a.transfer);
    add(at + "minutes_per_m2", a.minutes_per_m2);
  }
  if (mixed) {
    add("absorbency", p.absorbency);
    add("min_temp_c", p.min_temp_c);
    add("max_temp_c", p.max_temp_c);
    add("max_rh", p.max_rh);
    if (p.min_film_temp_c) add("min_film_temp_c", *p.min_film_temp_c);
    if (!p.sheens.empty()) out.emplace_back("sheens", joined(p.sheens, ", "));
    out.emplace_back("flatted", yes_no(p.flatted));
    out.emplace_back("self_heating", yes_no(p.self_heating));
  }
  if (!p.ready_by_hand.empty()) out.emplace_back("ready_by_hand", p.ready_by_hand);
  if (!p.bench_notes.empty()) out.emplace_back("bench_notes", joined(p.bench_notes, " "));
  if (!p.hazards.empty()) out.emplace_back("hazards", joined(p.hazards, " "));
  if (p.flash_point_c) add("flash_point_c", *p.flash_point_c);
  if (p.pot_life_h) add("pot_life_h", *p.pot_life_h);
  if (p.shelf_life_months) add("shelf_life_months", *p.shelf_life_months);
  if (p.opened_months) add("opened_months", *p.opened_months);
  if (!p.packs.empty()) out.emplace_back("packs", packs_text(p.packs));
  return out;
}

Values values_of(const Species& s) {
  return {{"open_pored", yes_no(s.open_pored)},
          {"tannin", yes_no(s.tannin)},
          {"specific_gravity", number_text(s.specific_gravity)},
          {"tangential_per_percent", number_text(s.tangential_per_percent)},
          {"radial_per_percent", number_text(s.radial_per_percent)}};
}

Values values_of(const Abrasive& a) {
  return {{"median_um", number_text(a.median_um)},
          {"removal_um", number_text(a.removal_um)},
          {"m2_per_sheet", number_text(a.m2_per_sheet)},
          {"minutes_per_m2", number_text(a.minutes_per_m2)},
          {"price_per_sheet", to_text(a.price_per_sheet)}};
}

Values values_of(const Component& c) {
  return {{"molar_mass_g", number_text(c.molar_mass_g)},
          {"density_kg_l", number_text(c.density_kg_l)},
          {"antoine_a", number_text(c.antoine_a)},
          {"antoine_b", number_text(c.antoine_b)},
          {"antoine_c", number_text(c.antoine_c)},
          {"latent_kj_kg", number_text(c.latent_kj_kg)},
          {"diffusivity_air_m2_s", number_text(c.diffusivity_air_m2_s)},
          {"lel_percent", number_text(c.lel_percent)},
          {"twa_ppm", number_text(c.twa_ppm)},
          {"stel_ppm", number_text(c.stel_ppm)}};
}

Values values_of(const Pace& p) {
  return {{"minutes_fixed", number_text(p.minutes_fixed)},
          {"minutes_per_m2", number_text(p.minutes_per_m2)},
          {"minutes_per_m", number_text(p.minutes_per_m)}};
}

Result<Mark> parse_mark(std::string_view text) {
  const auto colon = text.find(':');
  const std::string_view word = trimmed(text.substr(0, colon));
  const std::string_view note = colon == std::string_view::npos ? std::string_view() : trimmed(text.substr(colon + 1));
  const auto made = [&](Origin origin) { return Mark{origin, std::string(note)}; };
  if (word == "source" && !note.empty()) return made(Origin::source);
  if (word == "common practice") return made(Origin::common_practice);
  if (word == "from memory") return made(Origin::from_memory);
  if (word == "demo") return made(Origin::demo);
  Problem problem;
  problem.what = "\"" + std::string(text.substr(0, 80)) + "\" does not say where the value comes from";
  problem.expected = "\"source: <standard, handbook or paper>\", \"common practice\", \"from memory\" or \"demo\"";
  problem.remedy = word == "source" ? "name the source after the colon" : "start with one of the four words";
  return tl::make_unexpected(std::move(problem));
}

Expanded expand_marks(const RawMarks& raw, const Values& values) {
  Expanded out;
  std::set<std::string> useful = {"default"};
  for (const auto& [name, text] : values) {
    useful.insert(name);
    useful.insert(group_of(name));
    auto it = raw.find(name);
    if (it == raw.end()) it = raw.find(group_of(name));
    if (it == raw.end()) it = raw.find("default");
    if (it == raw.end()) {
      out.missing.push_back(name);
    } else {
      out.marks[name] = it->second;
    }
  }
  for (const auto& [name, mark] : raw) {
    if (!useful.count(name) || name.empty()) out.pointless.push_back(name);
  }
  return out;
}

}  // namespace tackcloth::catalog
