#include "finish/work.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::finish {

using catalog::Kind;
using film::Need;
using piece::Existing;
using piece::Material;

namespace {

// Minutes when the catalogue has no such pace (common practice, no source).
struct Pace {
  double fixed, per_m2;
};
Pace pace(const catalog::Catalog& catalog, const char* id, Pace otherwise) {
  if (const auto* known = catalog.pace(id)) return {known->minutes_fixed, known->minutes_per_m2};
  return otherwise;
}

// Water a washed or rinsed wood surface keeps after it is wiped off, g/m² (from memory: a damp film of 0.06 mm).
constexpr double kWashWater = 60;
constexpr double kRinseWater = 80;
// A soaked piece before it is touched at all.
constexpr double kSoakedWater = 400;

double price_per_unit(const catalog::Product& product) {
  double best = 0;
  for (const auto& pack : product.packs) {
    if (pack.amount <= 0) continue;
    const double each = static_cast<double>(pack.price.minor) / pack.amount;
    if (best == 0 || each < best) best = each;
  }
  return best;
}

const catalog::Product* product_of(const Scene& scene, int index) {
  return index < 0 ? nullptr : &scene.catalog->products[static_cast<std::size_t>(index)];
}

void from_application(Work& work, const catalog::Product& product, bool bare) {
  const auto* application = application_of(product);
  if (application == nullptr) return;
  work.wet_um = application->wet_um;
  work.method = application->method;
  work.minutes_per_m2 = application->minutes_per_m2;
  // 1 µm over 1 m² is 1 ml.
  const double litres = application->wet_um * 1e-3 / std::max(0.05, application->transfer);
  if (product.unit == "l") {
    work.cost_per_m2 = litres * (1 + (bare ? product.absorbency : 0)) * price_per_unit(product);
  }
}

}  // namespace

const catalog::Application* application_of(const catalog::Product& product) {
  for (const auto& application : product.applications) {
    if (application.method != catalog::Method::spray_gun && application.method != catalog::Method::aerosol) {
      return &application;
    }
  }
  return catalog::usual(product);
}

film::Ground ground_of(const Scene& scene, const State& before) {
  if (before.top != Top::bare) return film::Ground::sealed;
  if (scene.from.material == Material::metal) return film::Ground::metal;
  return scene.woody ? film::Ground::bare_wood : film::Ground::sealed;
}

Work work_of(const Scene& scene, const State& before, const Move& move) {
  const auto& catalog = *scene.catalog;
  const auto* product = product_of(scene, move.product);
  const bool bare = ground_of(scene, before) == film::Ground::bare_wood;
  Work work;
  const auto take = [&](const char* id, Pace otherwise) {
    const Pace known = pace(catalog, id, otherwise);
    work.minutes_fixed = known.fixed;
    work.minutes_per_m2 = known.per_m2;
  };
  if (product != nullptr) from_application(work, *product, bare);
  switch (move.kind) {
    case StepKind::lead_test:
      take("lead_test", {10, 0});
      break;
    case StepKind::wash:
    case StepKind::degrease:
      take(move.kind == StepKind::wash ? "wash" : "degrease", {5, 8});
      if (scene.woody)
        work.water_g_m2 = kWashWater;
      else
        work.rest_h = 1;  // wiped dry; common practice, no source
      if (work.wet_um == 0) work.wet_um = kWashWater;
      break;
    case StepKind::dry_out:
      work.water_g_m2 = kSoakedWater;
      break;
    case StepKind::scrape_glue:
      take("scrape_glue", {5, 30});
      // Paced by the metre: about 4 m of old glue line on a square metre (common practice, no source).
      if (const auto* known = catalog.pace("scrape_glue")) work.minutes_per_m2 += 4 * known->minutes_per_m;
      break;
    case StepKind::strip:
      take("strip", {15, 45});
      if (scene.from.stubborn) work.minutes_per_m2 *= 1.5;  // a second application; common practice, no source
      work.rest_h = 2;                                      // dwell, then the sludge comes off; the label decides
      break;
    case StepKind::neutralize:
      take("rinse", {5, 6});
      if (scene.woody)
        work.water_g_m2 = kRinseWater;
      else
        work.rest_h = 1;
      break;
    case StepKind::sand: {
      const auto* abrasive = catalog.abrasive(move.grit);
      work.minutes_fixed = 3;
      work.minutes_per_m2 = abrasive != nullptr ? abrasive->minutes_per_m2 : 12;
      // Taking a finish off is slower than refining bare wood, a stubborn one slower still (common practice, no
      // source).
      if (before.top != Top::bare) work.minutes_per_m2 *= scene.from.stubborn ? 4 : 2.5;
      break;
    }
    case StepKind::scuff:
      take("scuff", {2, 5});
      break;
    case StepKind::dust_off:
      take("dust_off", {2, 2});
      break;
    case StepKind::spirit_wipe:
      take("spirit_wipe", {3, 4});
      work.is_film = product != nullptr;
      if (work.wet_um == 0) work.wet_um = 20;
      break;
    case StepKind::repair:
    case StepKind::fill:
      take(move.kind == StepKind::fill ? "fill" : "repair_damage", {20, 5});
      work.cost_per_m2 = 0;  // a spot, not an area
      work.is_film = product != nullptr;
      work.own_need = product != nullptr && product->kind == Kind::adhesive ? Need::handle : Need::scuff;
      if (product == nullptr) work.rest_h = 12;
      break;
    case StepKind::metal_clean:
      take("metal_clean", {10, 30});
      work.rest_h = 1;
      break;
    case StepKind::mask:
      take("mask_m", {5, 0});
      break;
    case StepKind::fabric_dry_fit:
      take("fabric_cut", {15, 10});
      break;
    case StepKind::fabric_glue:
      take("fabric_glue_m2", {10, 20});
      work.rest_h = product != nullptr ? product->label.handle_h : 12;
      break;
    case StepKind::test_board:
      take("test_board", {15, 0});
      work.cost_per_m2 = 0;
      work.wet_um = 0;
      break;
    default:
      if (lays_film(move.kind) && product != nullptr) {
        const Pace set_up = pace(catalog, "set_up", {5, 0});
        const Pace clean_up = pace(catalog, "clean_up", {5, 0});
        work.minutes_fixed = set_up.fixed + clean_up.fixed;
        work.is_film = true;
      }
      break;
  }
  return work;
}

namespace {

std::string coat_of(int coat, int coats) {
  if (coats <= 1) return {};
  return ", coat " + std::to_string(coat) + " of " + std::to_string(coats);
}

std::string wood_side(const Scene& scene) { return scene.woody ? ", with the grain" : ""; }

std::string text_of(const Scene& scene, const State& before, const Move& move, const Work& work, int coat, int coats) {
  const auto* product = product_of(scene, move.product);
  const std::string name = product != nullptr ? product->name : "";
  const std::string how = product != nullptr ? ", " + catalog::to_text(work.method) + coat_of(coat, coats) : "";
  const auto with = [&](const std::string& words) { return name.empty() ? words : words + " with " + name; };
  switch (move.kind) {
    case StepKind::lead_test:
      return "Test for lead in a hidden spot, through every layer";
    case StepKind::wash:
      return with("Wash") + ", wrung cloth, wipe dry";
    case StepKind::degrease:
      return with("Degrease") + ", rinse, wipe dry";
    case StepKind::dry_out:
      return "Let the wood dry out, stickered, air on every side";
    case StepKind::scrape_glue:
      return "Scrape off the old glue";
    case StepKind::strip:
      return with("Strip the old finish");
    case StepKind::neutralize:
      return with("Rinse off what the stripper left");
    case StepKind::sand:
      return "Sand P" + std::to_string(move.grit) + wood_side(scene);
    case StepKind::dust_off:
      return before.touched ? "Vacuum, then wipe with a tack cloth" : "Wipe down, dry cloth";
    case StepKind::spirit_wipe:
      return "Wipe with " + (name.empty() ? "spirits" : name) + ", clean cloth";
    case StepKind::repair:
      return with("Repair");
    case StepKind::fill:
      return with("Fill") + ", a little proud, level it once hard";
    case StepKind::grain_fill:
      return "Fill the grain: " + name + how;
    case StepKind::stain:
      return "Stain: " + name + how + ", wipe off the excess";
    case StepKind::barrier:
      return "Barrier coat: " + name + how;
    case StepKind::seal:
      return "Seal: " + name + how;
    case StepKind::prime:
      return "Prime: " + name + how;
    case StepKind::mask:
      return "Mask";
    case StepKind::paint:
      return "Paint: " + name + how;
    case StepKind::clear:
      return "Clear coat: " + name + how;
    case StepKind::oil:
      return "Oil: " + name + how + ", wipe off the excess";
    case StepKind::wax:
      return "Wax: " + name + how + ", buff";
    case StepKind::scuff:
      return "Scuff P320, lightly" + wood_side(scene);
    case StepKind::metal_clean:
      return with("Clean the metal") + ", rust and tarnish off, rinse, dry";
    case StepKind::metal_coat:
      return "Spray: " + name + how + ", light coat";
    case StepKind::fabric_dry_fit:
      return "Dry fit the fabric against the finished colour";
    case StepKind::fabric_glue:
      return with("Glue the fabric") + ", smooth out from the middle";
    case StepKind::test_board:
      return "Test board: " + (name.empty() ? "the colour" : name) + " on an offcut of the same material";
    case StepKind::wait:
      return "Wait";
    case StepKind::take_in:
      return "Take in";
    case StepKind::take_apart:
      return "Take apart";
    case StepKind::put_back:
      return "Put back together";
    case StepKind::inspect:
      return "Look it over";
    case StepKind::hand_over:
      return "Hand over";
  }
  return "Wait";
}

// How a hand tells, for steps whose product does not say (common practice, no source).
std::string hand_test(StepKind kind) {
  switch (kind) {
    case StepKind::wash:
    case StepKind::degrease:
    case StepKind::neutralize:
    case StepKind::dry_out:
      return "no longer cool to the back of the hand; the moisture meter reads as before";
    case StepKind::sand:
      return "one even scratch in raking light, nothing left of the coarser grit";
    case StepKind::scuff:
      return "evenly dull, no shiny spots, dust like flour";
    case StepKind::dust_off:
      return "a clean tack cloth stays clean";
    case StepKind::spirit_wipe:
      return "no smell, no cool feel, colour back to dry wood";
    case StepKind::strip:
      return "a scraper brings up bare wood";
    case StepKind::scrape_glue:
      return "a drop of water soaks in, the surface is flat to a straightedge";
    case StepKind::repair:
    case StepKind::fill:
      return "sands to powder, does not take a fingernail";
    case StepKind::metal_clean:
      return "bright, dry, a white cloth stays white";
    case StepKind::fabric_dry_fit:
      return "pattern straight, overlap all round";
    case StepKind::fabric_glue:
      return "edges do not lift when pulled lightly";
    case StepKind::lead_test:
      return "the kit's own colour card decides; a doubtful result counts as lead";
    case StepKind::test_board:
      return "dry, clear coat over it, looked at in the owner's light";
    default:
      return {};
  }
}

void add_notes(const Scene& scene, const State& before, const Move& move, const Work& work, Step& step) {
  const auto* product = product_of(scene, move.product);
  auto& notes = step.notes;
  switch (move.kind) {
    case StepKind::lead_test:
      notes.push_back(
          "No dry sanding or scraping before the result is logged. If there is lead, local rules and "
          "certified people decide how to go on.");
      break;
    case StepKind::sand:
      notes.push_back("Dust mask and extraction; vacuum between grits.");
      if (scene.from.material == Material::veneer)
        notes.push_back("Veneer: no edges, no corners, stop when it is even.");
      break;
    case StepKind::scuff:
      if (scene.from.lead_possible && before.old_finish)
        notes.push_back("Not dry until lead is ruled out; damp at most.");
      break;
    case StepKind::strip:
      notes.push_back("Gloves that hold the stripper, goggles, air moving out; the label's own dwell time decides.");
      break;
    case StepKind::spirit_wipe:
      notes.push_back(
          "Scratches, glue spots and dents show while it is wet: mark them. Rags laid flat to dry outdoors.");
      break;
    case StepKind::test_board:
      notes.push_back("Every coat of the order goes on the board; it dries beside the work.");
      break;
    case StepKind::neutralize:
      notes.push_back("Rinse until the wood no longer feels slick.");
      break;
    case StepKind::fabric_glue:
      notes.push_back("Glue on the panel, not on the cloth; try an offcut for strike-through.");
      break;
    default:
      break;
  }
  if (product == nullptr || move.kind == StepKind::test_board) return;
  if (product->flatted) notes.push_back("Stir through the whole job, off the bottom; do not shake.");
  if (work.is_film && lays_film(move.kind)) notes.push_back("Thin coats: two thin ones dry sooner than one thick one.");
  notes.insert(notes.end(), product->bench_notes.begin(), product->bench_notes.end());
  if (product->self_heating)
    notes.push_back("Rags can catch fire on their own: flat outdoors, or under water in a lidded can.");
  if (!product->hazards.empty()) {
    std::string line = "Caution: ";
    for (std::size_t i = 0; i < product->hazards.size(); ++i) line += (i ? ", " : "") + product->hazards[i];
    notes.push_back(line + ".");
  }
}

}  // namespace

Step worded(const Scene& scene, const State& before, const Move& move, int coat, int coats) {
  const Work work = work_of(scene, before, move);
  const auto* product = product_of(scene, move.product);
  Step step;
  step.kind = move.kind;
  step.text = text_of(scene, before, move, work, coat, coats);
  if (product != nullptr) step.product = product->id;
  step.method = work.method;
  step.grit = move.kind == StepKind::scuff ? 320 : move.grit;
  step.wet_um = work.wet_um;
  step.ground = ground_of(scene, before);
  step.is_film = work.is_film;
  step.needs_before_next = work.own_need;
  step.rest_h = work.rest_h;
  step.rest_by_climate = work.water_g_m2 > 0;
  step.water_g_m2 = work.water_g_m2;
  step.minutes_fixed = work.minutes_fixed;
  step.minutes_per_m2 = work.minutes_per_m2;
  step.removes_um = move.removes_um;
  step.sprayed = product != nullptr && work.is_film &&
                 (work.method == catalog::Method::aerosol || work.method == catalog::Method::spray_gun);
  step.dry_sanding = move.kind == StepKind::sand || move.kind == StepKind::scuff;
  const bool speaks_for_itself = product != nullptr && work.is_film && !product->ready_by_hand.empty();
  step.ready_by_hand = speaks_for_itself ? product->ready_by_hand : hand_test(move.kind);
  add_notes(scene, before, move, work, step);
  return step;
}

Move move_of(const Scene& scene, const Step& step) {
  Move move;
  move.kind = step.kind;
  move.grit = step.grit;
  move.removes_um = step.removes_um;
  if (!step.product.empty()) {
    const auto& products = scene.catalog->products;
    const auto found = std::find_if(products.begin(), products.end(),
                                    [&](const catalog::Product& product) { return product.id == step.product; });
    if (found != products.end()) move.product = static_cast<int>(found - products.begin());
  }
  const auto* product = product_of(scene, move.product);
  if (step.is_film) move.given = static_cast<int>(step.needs_before_next);
  switch (step.kind) {
    case StepKind::spirit_wipe:
      // Dry to the touch is not dry: the film has to be gone.
      move.rests = step.is_film ? product != nullptr && step.needs_before_next != Need::touch : step.rest_h >= 24;
      break;
    case StepKind::wash:
    case StepKind::degrease:
    case StepKind::neutralize:
    case StepKind::dry_out:
    case StepKind::wait:
      // A day with the wood open to the air stands in for the drying model (common practice, no source).
      move.rests = step.rest_by_climate || step.rest_h >= (scene.woody ? 24 : 0.5);
      break;
    case StepKind::metal_clean:
      move.rests = step.rest_h >= 0.5;
      break;
    default:
      break;
  }
  if (product != nullptr && lays_film(step.kind)) {
    const auto* application = catalog::find_application(*product, step.method);
    move.method_known = application != nullptr;
    const auto* target = application != nullptr ? application : catalog::usual(*product);
    if (target != nullptr && target->wet_um > 0 && step.wet_um > 0) move.thickness_ratio = step.wet_um / target->wet_um;
  }
  return move;
}

}  // namespace tackcloth::finish
