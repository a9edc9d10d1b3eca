// A small catalogue built by hand, and a shorthand for orders of steps.
#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "finish/finish.h"

namespace tackcloth::finish::by_hand {

inline catalog::Product product(const std::string& id, catalog::Kind kind, catalog::Binder binder,
                                catalog::Carrier carrier, catalog::Cure cure, catalog::Label label,
                                catalog::Method method, double wet_um, int coats, double price) {
  catalog::Product p;
  p.id = id;
  p.name = "the " + id;
  p.kind = kind;
  p.binder = binder;
  p.carrier = carrier;
  p.cure = cure;
  p.label = label;
  p.label.wet_um = wet_um;
  p.applications = {{method, wet_um, 0.9, 10}};
  p.coats_usual = coats;
  const char* component = carrier == catalog::Carrier::water     ? "water"
                          : carrier == catalog::Carrier::alcohol ? "ethanol"
                          : carrier == catalog::Carrier::none    ? ""
                                                                 : "ms_light";
  if (*component != 0) {
    p.volatiles = {{component, 0.6}};
  } else {
    p.solids_mass_fraction = p.solids_volume_fraction = 1.0;
  }
  p.ready_by_hand = "dry";
  p.packs = {{1.0, Money{static_cast<std::int64_t>(price * 100)}}};
  p.flash_point_c = 40;
  return p;
}

inline catalog::Label label(double scuff_h, double recoat_h, double other_h, double handle_h, double use_h,
                            std::optional<double> closes_h = {}) {
  catalog::Label l;
  l.touch_h = std::min(scuff_h, recoat_h) / 2;
  l.scuff_h = scuff_h;
  l.recoat_h = recoat_h;
  l.recoat_other_h = other_h;
  l.handle_h = handle_h;
  l.use_h = use_h;
  l.recoat_max_h = closes_h;
  return l;
}

inline catalog::Catalog small_catalog() {
  using catalog::Binder;
  using catalog::Carrier;
  using catalog::Cure;
  using catalog::Kind;
  using catalog::Method;
  catalog::Catalog c;
  const auto add = [&](auto... values) { c.products.push_back(product(values...)); };
  const catalog::Label none = label(1, 1, 1, 1, 1);
  const Method cloth = Method::wiping_cloth, brush = Method::brush, gun = Method::spray_gun, can = Method::aerosol;
  add("soap", Kind::cleaner, Binder::none, Carrier::water, Cure::none, none, cloth, 50.0, 1, 5.0);
  add("degreaser", Kind::degreaser, Binder::none, Carrier::water, Cure::none, none, cloth, 50.0, 1, 8.0);
  add("neutral_rinse", Kind::cleaner, Binder::none, Carrier::water, Cure::none, none, cloth, 50.0, 1, 5.0);
  add("metal_polish", Kind::cleaner, Binder::none, Carrier::water, Cure::none, none, cloth, 50.0, 1, 9.0);
  add("stripper", Kind::stripper, Binder::none, Carrier::water, Cure::none, none, brush, 800.0, 1, 20.0);
  add("spirits", Kind::spirit, Binder::none, Carrier::mineral_spirits, Cure::evaporation, label(12, 12, 12, 2, 12),
      cloth, 30.0, 1, 6.0);
  add("filler", Kind::wood_filler, Binder::acrylic, Carrier::water, Cure::coalescence, label(4, 4, 6, 6, 24),
      Method::scraper, 1000.0, 1, 12.0);
  add("grain_filler", Kind::grain_filler, Binder::acrylic, Carrier::water, Cure::coalescence, label(3, 3, 72, 4, 24),
      Method::pad, 100.0, 1, 25.0);
  add("stain_oil", Kind::stain, Binder::oil, Carrier::mineral_spirits, Cure::oxidation, label(12, 12, 72, 12, 72),
      cloth, 50.0, 1, 20.0);
  add("stain_water", Kind::stain, Binder::acrylic, Carrier::water, Cure::evaporation, label(3, 3, 72, 3, 24), cloth,
      50.0, 1, 22.0);
  add("shellac", Kind::sealer, Binder::shellac_dewaxed, Carrier::alcohol, Cure::evaporation, label(1, 1, 2, 2, 24),
      brush, 75.0, 1, 30.0);
  add("shellac_waxed", Kind::sealer, Binder::shellac_waxed, Carrier::alcohol, Cure::evaporation, label(1, 1, 2, 2, 24),
      brush, 75.0, 2, 25.0);
  add("primer_oil", Kind::primer, Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation, label(16, 16, 72, 24, 168),
      brush, 90.0, 1, 22.0);
  add("primer_water", Kind::primer, Binder::acrylic, Carrier::water, Cure::coalescence, label(3, 3, 72, 12, 168), brush,
      90.0, 1, 20.0);
  add("primer_metal", Kind::primer, Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation,
      label(12, 12, 72, 16, 168), brush, 70.0, 1, 24.0);
  add("paint", Kind::paint, Binder::acrylic, Carrier::water, Cure::coalescence, label(4, 4, 72, 24, 504), brush, 90.0,
      2, 28.0);
  add("chalk", Kind::paint, Binder::chalk, Carrier::water, Cure::coalescence, label(2, 2, 72, 12, 504), brush, 90.0, 2,
      35.0);
  add("milk", Kind::paint, Binder::casein, Carrier::water, Cure::crosslink, label(2, 2, 72, 12, 336), brush, 80.0, 2,
      30.0);
  add("enamel", Kind::paint, Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation, label(24, 24, 72, 24, 168),
      brush, 80.0, 2, 30.0);
  add("metal_can", Kind::metal_paint, Binder::acrylic, Carrier::lacquer_thinner, Cure::evaporation,
      label(2, 1, 48, 3, 24), can, 30.0, 3, 40.0);
  add("varnish", Kind::clear, Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation,
      label(12, 12, 72, 24, 168, 24.0), cloth, 50.0, 3, 30.0);
  add("urethane", Kind::clear, Binder::urethane_oil, Carrier::mineral_spirits, Cure::oxidation,
      label(6, 6, 72, 24, 168, 24.0), brush, 80.0, 3, 30.0);
  add("clear_water", Kind::clear, Binder::acrylic_urethane, Carrier::water, Cure::coalescence,
      label(2.5, 2.5, 72, 12, 336), brush, 90.0, 3, 40.0);
  add("lacquer", Kind::clear, Binder::nitrocellulose, Carrier::lacquer_thinner, Cure::evaporation,
      label(0.75, 0.75, 24, 2, 72), gun, 75.0, 4, 28.0);
  add("oil", Kind::oil, Binder::oil, Carrier::none, Cure::oxidation, label(24, 24, 72, 48, 336), cloth, 40.0, 2, 18.0);
  add("wax", Kind::wax, Binder::wax, Carrier::mineral_spirits, Cure::evaporation, label(1, 12, 72, 1, 24), cloth, 20.0,
      1, 16.0);
  add("white_glue", Kind::adhesive, Binder::pva, Carrier::water, Cure::coalescence, label(24, 24, 24, 1, 24), brush,
      150.0, 1, 12.0);
  add("contact", Kind::adhesive, Binder::contact, Carrier::lacquer_thinner, Cure::evaporation,
      label(24, 24, 24, 0.5, 24), can, 100.0, 1, 25.0);

  const auto wood = [&](const char* id, bool open, bool tannin) {
    catalog::Species s;
    s.id = s.name = id;
    s.open_pored = open;
    s.tannin = tannin;
    c.species.push_back(s);
  };
  wood("maple", false, false);
  wood("oak", true, true);
  const auto grit = [&](int p, double median, double removal, double minutes) {
    catalog::Abrasive a;
    a.grit = p;
    a.median_um = median;  // FEPA 43 / ISO 6344-3
    a.removal_um = removal;
    a.minutes_per_m2 = minutes;
    c.abrasives.push_back(a);
  };
  grit(80, 201, 55, 20);
  grit(100, 162, 40, 18);
  grit(120, 125, 30, 16);
  grit(150, 100, 22, 14);
  grit(180, 82, 17, 13);
  grit(220, 68, 13, 12);
  grit(320, 46.2, 6, 9);
  const auto component = [&](const char* id, double molar, double density, double a, double b, double k) {
    catalog::Component v;
    v.id = v.name = id;
    v.molar_mass_g = molar;
    v.density_kg_l = density;
    v.antoine_a = a;
    v.antoine_b = b;
    v.antoine_c = k;
    v.latent_kj_kg = 400;
    v.diffusivity_air_m2_s = 1e-5;
    c.components.push_back(v);
  };
  // Antoine constants from memory; only the label's own times matter to these tests.
  component("water", 18.015, 0.998, 8.07131, 1730.63, 233.426);
  component("ethanol", 46.07, 0.789, 8.20417, 1642.89, 230.3);
  component("ms_light", 142.3, 0.75, 6.95367, 1501.268, 194.48);
  return c;
}

inline std::vector<Rule> the_rules() {
  auto rules = load_rules(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog/rules.toml");
  return rules ? *rules : std::vector<Rule>{};
}

// "wash; sand 120; clear urethane other": kind, grit, product, need; "wet" leaves out the drying, "thick" doubles the
// film, "sprayed" puts it on with a gun. The last film is left until it may be handled unless it says otherwise.
inline std::vector<Step> order(const catalog::Catalog& catalog, const std::string& text) {
  static const std::vector<std::pair<std::string, film::Need>> needs = {
      {"touch", film::Need::touch},      {"tape", film::Need::tape},          {"dry_to_scuff", film::Need::scuff},
      {"same", film::Need::recoat_same}, {"other", film::Need::recoat_other}, {"handle", film::Need::handle},
      {"use", film::Need::use}};
  std::vector<Step> steps;
  std::stringstream all(text);
  std::string one;
  std::ptrdiff_t last_film = -1;
  bool last_said = false;
  while (std::getline(all, one, ';')) {
    std::stringstream words(one);
    std::string word;
    if (!(words >> word)) continue;
    Step step;
    step.kind = StepKind::hand_over;
    for (int k = 0; k <= static_cast<int>(StepKind::hand_over); ++k) {
      if (to_text(static_cast<StepKind>(k)) == word) step.kind = static_cast<StepKind>(k);
    }
    bool wet = false, thick = false, sprayed = false, said = false;
    while (words >> word) {
      if (word == "wet")
        wet = true;
      else if (word == "thick")
        thick = true;
      else if (word == "sprayed")
        sprayed = true;
      else if (isdigit(static_cast<unsigned char>(word[0])) != 0)
        step.grit = std::stoi(word);
      else {
        bool is_need = false;
        for (const auto& [name, need] : needs) {
          if (name == word) {
            step.needs_before_next = need;
            is_need = said = true;
          }
        }
        if (!is_need) step.product = word;
      }
    }
    if (const auto* p = catalog.product(step.product); p != nullptr && !p->applications.empty()) {
      step.method = sprayed ? catalog::Method::spray_gun : p->applications.front().method;
      step.wet_um = p->applications.front().wet_um * (thick ? 2 : 1);
      switch (step.kind) {
        case StepKind::spirit_wipe:
        case StepKind::fill:
        case StepKind::repair:
          step.is_film = true;
          break;
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
          step.is_film = true;
          last_film = static_cast<std::ptrdiff_t>(steps.size());
          last_said = said;
          break;
        default:
          break;
      }
    }
    switch (step.kind) {
      case StepKind::wash:
      case StepKind::degrease:
      case StepKind::neutralize:
      case StepKind::dry_out:
        step.rest_by_climate = !wet;
        break;
      case StepKind::metal_clean:
        step.rest_h = wet ? 0 : 1;
        break;
      default:
        break;
    }
    if (step.kind == StepKind::sand) {
      const auto* abrasive = catalog.abrasive(step.grit);
      step.removes_um = abrasive != nullptr ? abrasive->removal_um : 0;
    }
    steps.push_back(step);
  }
  if (last_film >= 0 && !last_said) steps[static_cast<std::size_t>(last_film)].needs_before_next = film::Need::handle;
  return steps;
}

inline bool has(const std::vector<catalog::Finding>& findings, const std::string& rule) {
  for (const auto& finding : findings) {
    if (finding.rule == rule) return true;
  }
  return false;
}

inline std::string names(const std::vector<catalog::Finding>& findings) {
  std::string out;
  for (const auto& finding : findings) out += finding.rule + " (" + to_text(finding.severity) + ") ";
  return out;
}

inline std::string listing(const std::vector<Step>& steps) {
  std::string out;
  for (const auto& step : steps) out += "\n  " + to_text(step.kind) + " " + step.product + " " + step.text;
  return out;
}

}  // namespace tackcloth::finish::by_hand
