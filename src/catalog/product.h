// One product as a generic chemistry: what is in the can and what its label promises. Names are invented.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "units/money.h"

namespace tackcloth::catalog {

// Where a value comes from. `source` names a standard, handbook or paper in `note`.
enum class Origin { source, common_practice, from_memory, demo };
struct Mark {
  Origin origin = Origin::from_memory;
  std::string note;
};

enum class Kind {
  cleaner,
  degreaser,
  stripper,
  spirit,
  wood_filler,
  grain_filler,
  stain,
  sealer,
  primer,
  paint,
  clear,
  wax,
  oil,
  adhesive,
  metal_paint,
  consumable
};
enum class Binder {
  none,
  shellac_dewaxed,
  shellac_waxed,
  oil,
  alkyd,
  urethane_oil,
  acrylic,
  acrylic_urethane,
  nitrocellulose,
  chalk,
  mineral,
  casein,
  wax,
  hardwax,
  epoxy,
  pva,
  hide_glue,
  contact,
  hot_melt,
  dye
};
enum class Carrier { none, water, mineral_spirits, alcohol, lacquer_thinner };
enum class Cure { none, evaporation, coalescence, oxidation, crosslink };
enum class Method { brush, roller, pad, wiping_cloth, spray_gun, aerosol, scraper, by_hand };

// A volatile part of the wet product, by component id of catalog/components.toml.
struct Volatile {
  std::string component;
  double mass_fraction = 0;  // of the wet product
};

// The gas that drives a spray can. Not part of the product's density, solids and volatiles: those are of what it
// drives.
struct Propellant {
  std::string component;
  double mass_fraction = 0;  // of all that is in the can
};

// The label, at the label's own conditions. Hours. `recoat_max_h` closes the window: later, a scuff is needed.
struct Label {
  double wet_um = 75;
  double temp_c = 21;
  double rh = 0.5;
  double air_m_s = 0.1;
  double touch_h = 1;
  double scuff_h = 4;
  double recoat_h = 4;
  std::optional<double> recoat_max_h;
  double recoat_other_h = 72;  // another chemistry on top: oil over water or the reverse
  double handle_h = 6;
  double use_h = 168;
};

struct Application {
  Method method = Method::brush;
  double wet_um = 75;          // target wet film of one coat
  double transfer = 0.95;      // share of what leaves the can that reaches the work
  double minutes_per_m2 = 12;  // hands-on
};

struct Pack {
  double amount = 0;  // litres for liquids, pieces for consumables
  Money price;
};

struct Product {
  std::string id;
  std::string name;  // invented, generic
  Kind kind = Kind::clear;
  Binder binder = Binder::none;
  Carrier carrier = Carrier::none;
  Cure cure = Cure::evaporation;
  double density_kg_l = 1.0;
  double solids_mass_fraction = 0.4;
  double solids_volume_fraction = 0.35;
  std::vector<Volatile> volatiles;       // sums with the solids to 1 (checked on load, 0.5 %)
  std::optional<Propellant> propellant;  // of spray cans
  Label label;
  std::vector<Application> applications;  // the first is the usual one
  int coats_usual = 1;
  double absorbency = 0;  // share of the first coat drawn into bare wood, 0..1
  double min_temp_c = 10, max_temp_c = 32, max_rh = 0.85;
  std::optional<double> min_film_temp_c;  // coalescing films
  double rate_sigma_log = 0.25;           // log-normal spread of the drying rate
  std::vector<std::string> sheens;
  bool flatted = false;       // has matting agent: stir through the whole job
  std::string unit = "l";     // "l", "piece", "m", "m2", "sheet"
  std::string ready_by_hand;  // how a hand tells
  std::vector<std::string> bench_notes;
  std::vector<std::string> hazards;  // words, in the order of weight
  std::optional<double> flash_point_c;
  bool self_heating = false;  // rags can catch fire on their own
  std::optional<double> pot_life_h;
  std::optional<double> shelf_life_months;
  std::optional<double> opened_months;  // from opening: skins over, or stops hardening; nothing: as long as closed
  std::vector<Pack> packs;
  std::map<std::string, Mark> marks;  // by value name, e.g. "label.touch_h"; every value has one
};

const Application* usual(const Product& product);  // nullptr when it is not applied
const Application* find_application(const Product& product, Method method);
// True when the product dries as a film. Cleaners, degreasers, strippers and consumables do not: they are rinsed,
// scraped or used up, and their label is never read.
bool leaves_film(const Product& product);
std::string to_text(Kind kind);
std::string to_text(Method method);  // "wiping cloth"
std::string to_text(Binder binder);
std::string to_text(Carrier carrier);
std::string to_text(Cure cure);
std::string to_text(Origin origin);  // "common practice"
// Water-based or oil-based system, for the 72 h rule; others are neither.
bool is_water_system(const Product& product);
bool is_oil_system(const Product& product);

}  // namespace tackcloth::catalog
