// The catalogue: products, wood species, abrasives, volatile components, paces of work. Read from data files.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "catalog/product.h"
#include "units/result.h"

namespace tackcloth::catalog {

struct Species {
  std::string id, name;
  bool open_pored = false;
  bool tannin = false;  // bleeds through waterborne paint
  double specific_gravity = 0.5;
  double tangential_per_percent = 0;  // dimensional change coefficients (Wood Handbook table 13-5)
  double radial_per_percent = 0;
  std::map<std::string, Mark> marks;
};

// FEPA P grade. `median_um` after FEPA 43 / ISO 6344-3.
struct Abrasive {
  int grit = 0;
  double median_um = 0;
  double removal_um = 0;    // wood taken by one proper pass, for the veneer budget
  double m2_per_sheet = 0;  // before it is spent, on bare wood
  double minutes_per_m2 = 0;
  Money price_per_sheet;
  std::map<std::string, Mark> marks;
};

// A volatile component: what film and air need.
struct Component {
  std::string id, name;
  double molar_mass_g = 0;
  double density_kg_l = 1;
  double antoine_a = 0, antoine_b = 0, antoine_c = 0;  // log10(p/mmHg) = A - B / (C + T/°C)
  double latent_kj_kg = 0;
  double diffusivity_air_m2_s = 0;   // at 25 °C
  double lel_percent = 0;            // lower explosive limit, volume percent; 0: does not burn
  double twa_ppm = 0, stel_ppm = 0;  // strictest of the limits entered; 0: none set
  std::string limit_source;
  std::map<std::string, Mark> marks;
};

// Hands-on minutes for work that is not a coat, by name ("wash", "strip", "scrape", "mask_m", "label_part", ...).
struct Pace {
  std::string id;
  double minutes_fixed = 0;
  double minutes_per_m2 = 0;
  double minutes_per_m = 0;
  Mark mark;
};

// What never reaches the work: litres left in pot and tool by the way of putting it on (id as in an application), or as
// "can" the share that stays in every can.
struct Leaving {
  std::string id;
  double litres = 0, share = 0;
  Mark mark;
};

struct Catalog {
  std::vector<Product> products;
  std::vector<Species> species;
  std::vector<Abrasive> abrasives;  // coarse to fine
  std::vector<Component> components;
  std::vector<Pace> paces;
  std::vector<Leaving> leavings;

  const Product* product(std::string_view id) const;  // nullptr when unknown
  const Species* find_species(std::string_view id) const;
  const Abrasive* abrasive(int grit) const;
  const Component* component(std::string_view id) const;
  const Pace* pace(std::string_view id) const;
  double left_in_tool_l(Method method) const;
  double left_in_can() const;  // share
};

// Reads products.toml (and products/*.toml), species.toml, abrasives.toml, components.toml, paces.toml,
// leavings.toml in `directory`.
// All mistakes are reported at once: unknown keys (with a suggestion), missing marks, sums that do not close, numbers
// out of range.
Results<Catalog> load_catalog(const std::string& directory);

// One value of one entry, as text, with its mark. In the order components, species, abrasives, paces, products.
struct SourceRow {
  std::string id, title;  // "varnish_wiping", "Wiping varnish"; abrasives are "P120"
  std::string value, text;
  Mark mark;
};
std::vector<SourceRow> source_rows(const Catalog& catalog);

// Markdown listing of every value with its source; those only from memory or common practice listed apart.
std::string sources_markdown(const Catalog& catalog);

}  // namespace tackcloth::catalog
