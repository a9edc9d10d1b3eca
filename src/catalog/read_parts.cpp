// Components, species, abrasives, paces, and what all entries share.
#include <algorithm>

#include "catalog/read.h"
#include "catalog/values.h"

namespace tackcloth::catalog {
namespace {

bool is_id(const std::string& text) {
  return !text.empty() && text.size() <= 64 && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
  });
}

std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i == 6) return out + " and " + std::to_string(names.size() - i) + " more";
    out += (i == 0 ? "" : ", ") + names[i];
  }
  return out;
}

bool read_bool(reading::Table& table, std::string_view key) {
  const auto value = table.boolean(key);
  if (!value && !table.has(key)) {
    table.problem(key, "'" + std::string(key) + "' is missing", "true or false", "add it");
  }
  return value.value_or(false);
}

}  // namespace

std::string read_id(reading::Table& table) {
  std::string id = table.need_text("id");
  if (table.has("id") && !is_id(id)) {
    table.problem("id", "'" + id.substr(0, 64) + "' is not an id", "small letters, digits and underscores, 64 at most",
                  "write it like varnish_wiping");
  }
  return id;
}

Money read_price(reading::Table& table, std::string_view key) {
  const bool there = table.has(key);
  const std::string text = table.need_text(key);
  if (!there || text.empty()) return {};
  const auto money = parse_money(text);
  if (!money || money->minor < 0) {
    table.problem(key, "\"" + text.substr(0, 40) + "\" is not a price",
                  "an amount of zero or more, two decimals at most", "write it like \"12.50\"");
    return {};
  }
  return *money;
}

std::map<std::string, Mark> read_marks(reading::Table& table, const std::string& who, const Values& values) {
  RawMarks raw;
  bool sound = true;
  auto marks = table.table("marks");
  if (marks) {
    for (const auto& key : marks->keys()) {
      const auto text = marks->text(key);
      if (!text) {
        sound = false;
        continue;
      }
      auto mark = parse_mark(*text);
      if (mark) {
        raw[key] = std::move(*mark);
      } else {
        sound = false;
        marks->problem(key, mark.error().what, mark.error().expected, mark.error().remedy);
      }
    }
  }
  Expanded expanded = expand_marks(raw, values);
  if (!expanded.missing.empty() && sound) {
    table.problem("marks", "'" + who + "' does not say where these values come from: " + listed(expanded.missing),
                  "a mark for every value", "name each in marks, or give marks a default");
  }
  if (marks) {
    std::vector<std::string> names = {"default"};
    for (const auto& value : values) names.push_back(value.first);
    for (const auto& key : expanded.pointless) {
      const auto near = reading::nearest(key, names);
      marks->problem(key, "'" + who + "' has no value '" + key.substr(0, 64) + "' to mark",
                     "the name of a value of this entry", near ? "did you mean '" + *near + "'?" : "remove it");
    }
    marks->finish();
  }
  return std::move(expanded.marks);
}

Component read_component(reading::Table t) {
  Component c;
  c.id = read_id(t);
  c.name = t.need_text("name");
  c.molar_mass_g = t.need_number("molar_mass_g", 2, 1000);
  c.density_kg_l = t.need_number("density_kg_l", 0.4, 3);
  c.antoine_a = t.need_number("antoine_a", 1, 20);
  c.antoine_b = t.need_number("antoine_b", 100, 10000);
  c.antoine_c = t.need_number("antoine_c", 50, 500);
  c.latent_kj_kg = t.need_number("latent_kj_kg", 50, 5000);
  c.diffusivity_air_m2_s = t.need_number("diffusivity_air_m2_s", 1e-7, 1e-4);
  c.lel_percent = t.need_number("lel_percent", 0, 100);
  c.twa_ppm = t.need_number("twa_ppm", 0, 1e6);
  c.stel_ppm = t.need_number("stel_ppm", 0, 1e6);
  c.limit_source = t.need_text("limit_source");
  if (c.stel_ppm > 0 && c.stel_ppm < c.twa_ppm) {
    t.problem("stel_ppm", "the short-term limit of '" + c.id + "' is below its 8 h limit",
              "stel_ppm of twa_ppm or more, or 0", "look both up again");
  }
  c.marks = read_marks(t, c.id, values_of(c));
  t.finish();
  return c;
}

Species read_species(reading::Table t) {
  Species s;
  s.id = read_id(t);
  s.name = t.need_text("name");
  s.open_pored = read_bool(t, "open_pored");
  s.tannin = read_bool(t, "tannin");
  s.specific_gravity = t.need_number("specific_gravity", 0.1, 1.4);
  s.tangential_per_percent = t.need_number("tangential_per_percent", 0.0001, 0.01);
  s.radial_per_percent = t.need_number("radial_per_percent", 0.0001, 0.01);
  s.marks = read_marks(t, s.id, values_of(s));
  t.finish();
  return s;
}

Abrasive read_abrasive(reading::Table t) {
  Abrasive a;
  const auto grit = t.integer("grit", 12, 5000);
  if (!grit && !t.has("grit")) t.problem("grit", "'grit' is missing", "a FEPA P grade, 12 to 5000", "add it");
  a.grit = static_cast<int>(grit.value_or(0));
  a.median_um = t.need_number("median_um", 1, 2000);
  a.removal_um = t.need_number("removal_um", 0, 1000);
  a.m2_per_sheet = t.need_number("m2_per_sheet", 0.01, 100);
  a.minutes_per_m2 = t.need_number("minutes_per_m2", 0.1, 600);
  a.price_per_sheet = read_price(t, "price_per_sheet");
  a.marks = read_marks(t, "P" + std::to_string(a.grit), values_of(a));
  t.finish();
  return a;
}

namespace {

Mark read_mark(reading::Table& t) {
  const bool there = t.has("mark");
  const std::string text = t.need_text("mark");
  if (!there) return {};
  auto mark = parse_mark(text);
  if (mark) return std::move(*mark);
  t.problem("mark", mark.error().what, mark.error().expected, mark.error().remedy);
  return {};
}

}  // namespace

Pace read_pace(reading::Table t) {
  Pace p;
  p.id = read_id(t);
  p.minutes_fixed = t.need_number("minutes_fixed", 0, 600);
  p.minutes_per_m2 = t.need_number("minutes_per_m2", 0, 600);
  p.minutes_per_m = t.need_number("minutes_per_m", 0, 600);
  p.mark = read_mark(t);
  t.finish();
  return p;
}

Leaving read_leaving(reading::Table t) {
  Leaving l;
  l.id = read_id(t);
  if (l.id == "can")
    l.share = t.need_number("share", 0, 0.5);
  else
    l.litres = t.need_number("litres", 0, 10);
  l.mark = read_mark(t);
  t.finish();
  return l;
}

}  // namespace tackcloth::catalog
