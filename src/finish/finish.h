// Coat orders: from what the surface is to what the owner wants, by moves that rules allow. Rules are data
// (catalog/rules.toml). docs/finish.md.
#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "catalog/finding.h"
#include "film/film.h"
#include "piece/piece.h"

namespace tackcloth::finish {

enum class StepKind {
  lead_test,
  wash,
  degrease,
  dry_out,
  scrape_glue,
  strip,
  neutralize,
  sand,
  dust_off,
  spirit_wipe,
  repair,
  fill,
  grain_fill,
  stain,
  barrier,
  seal,
  prime,
  mask,
  paint,
  clear,
  oil,
  wax,
  scuff,
  metal_clean,
  metal_coat,
  fabric_dry_fit,
  fabric_glue,
  test_board,
  wait,
  // Steps of the whole piece; the plan puts these round the coats.
  take_in,
  take_apart,
  put_back,
  inspect,
  hand_over
};

// The surface a schedule starts from.
struct Surface {
  piece::Material material = piece::Material::solid_wood;
  std::string species;
  piece::Existing existing = piece::Existing::unknown;
  double sanding_budget_um = std::numeric_limits<double>::infinity();
  bool grimy = true, old_glue = false, stubborn = false, sandable = true;
  bool lead_possible = false;
  bool interior = false;  // inside of a case: no oil smell left shut in
  std::vector<std::string> damage;
};

struct Wish {
  piece::Treatment treatment = piece::Treatment::clear;
  std::string product;  // finish coat by id; empty: search chooses
  int coats = 0;
  std::vector<std::string> wanted;  // an insisted build-up, product ids in order; checked, mended, never silent
};

struct Step {
  StepKind kind = StepKind::wait;
  std::string text;     // what to do, one line: "Sand P120, with the grain"
  std::string product;  // id, empty for none
  catalog::Method method = catalog::Method::by_hand;
  int grit = 0;
  double wet_um = 0;  // coats: target wet film; liquids: what is left on the surface
  film::Ground ground = film::Ground::sealed;
  bool is_film = false;                                    // drying comes from the film engine; otherwise `rest_h`
  film::Need needs_before_next = film::Need::recoat_same;  // of this film, before the next step may start
  double rest_h = 0;             // fixed rest after the step (common practice), for steps without a film
  bool rest_by_climate = false;  // rest is drying of wood: `water_g_m2` in climate::surface_drying_h
  double water_g_m2 = 0;
  bool window_closes = false;  // the next coat has to come before film.recoat_closes_h, or a scuff is due
  double minutes_fixed = 0, minutes_per_m2 = 0;
  double removes_um = 0;     // of the veneer budget
  bool sprayed = false;      // needs the spray place
  bool dry_sanding = false;  // stopped until lead is ruled out
  std::string reason;
  std::string ready_by_hand;
  std::vector<std::string> notes;  // bench notes and cautions of this step
  std::vector<std::string> rules;  // ids of the rules that put it here
};

struct Schedule {
  std::vector<Step> steps;  // in order; each waits for the one before
  std::vector<catalog::Finding> findings;
  double hours_nominal = 0;  // at 20 °C and 50 % RH, P50, round the clock
  double cost_per_m2 = 0;    // product cost in minor units
};

enum class Prefer { fastest, cheapest };

struct Rule {
  std::string id;
  catalog::Severity severity = catalog::Severity::caution;
  std::string reason, mend, source;
  std::vector<std::pair<std::string, std::string>> when;  // conditions, in the words of docs/finish.md
};

Results<std::vector<Rule>> load_rules(const std::string& path);

class NominalHours;  // film hours in an ordinary room, remembered

class Finisher {
 public:
  Finisher(const catalog::Catalog& catalog, const film::Model& model, std::vector<Rule> rules);
  // The best legal order. Findings explain what was changed or refused; `steps` is empty only with a must-not finding,
  // and for Treatment::none. A must-not about what was asked stays in the findings though `steps` has it mended.
  Schedule schedule(const Surface& from, const Wish& wish, Prefer prefer) const;
  // Every rule a given order breaks, with the mend. Used by `check` and by the independent test checker's planted
  // faults.
  std::vector<catalog::Finding> check(const Surface& from, const std::vector<Step>& steps) const;
  const std::vector<Rule>& rules() const { return rules_; }

 private:
  const catalog::Catalog& catalog_;
  const film::Model& model_;
  std::vector<Rule> rules_;
  std::shared_ptr<const NominalHours> hours_;
};

std::string to_text(StepKind kind);

}  // namespace tackcloth::finish
