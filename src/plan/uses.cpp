#include "plan/uses.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "materials/spread.h"
#include "plan/abrasives.h"
#include "units/quantity.h"

namespace tackcloth::plan {

using finish::StepKind;
using materials::Use;

namespace {

// Of rags, gloves and the like one hand takes twice what another does: coefficient of variation. Common practice, no
// source. Tests and boards are counted out.
constexpr double kConsumableCv = 0.25;

double spread_of(const std::string& product) {
  return product == "lead_test_kit" || product == "test_board" ? 0 : kConsumableCv;
}

// A pair of organic vapour cartridges is done after so many hours in vapour at the latest, a pair of P100 filters after
// so many in dust (from memory: makers' usual advice. 29 CFR 1910.134(d)(3)(iii)(B)(2) wants a schedule for the former;
// smell or taste, or harder breathing, ends either at once).
constexpr double kCartridgeHours = 8, kFilterHours = 40;
// From this share of organic volatiles on, vapour is taken to call for the cartridges (common practice, no source).
constexpr double kVapourShare = 0.2;

// Filler and glue go to spots: share of the zone they are on. Common practice, no source.
constexpr double kSpotShare = 0.03;

double organic_share(const catalog::Product& product) {
  double sum = 0;
  for (const catalog::Volatile& part : product.volatiles)
    if (part.component != "water") sum += part.mass_fraction;
  return sum;
}

bool is_spot(const finish::Step& step) { return step.kind == StepKind::fill || step.kind == StepKind::repair; }

// Consumables of one step (common practice, no source): how many pieces of each a task takes.
void add_consumables(const Task& task, const catalog::Catalog& catalog, const std::string& piece,
                     std::vector<Use>& uses) {
  bool gloves = false;
  const auto take = [&](const char* product, double amount) {
    if (!catalog.product(product) || !(amount > 0)) return;
    uses.push_back({product, piece, 0, 0, 1, 0, amount, spread_of(product)});
    gloves = gloves || uses.back().product == "gloves_nitrile";
  };
  switch (task.step.kind) {
    case StepKind::mask:
      take("tape_masking", task.tape_m * 1.1);
      break;
    case StepKind::strip:
    case StepKind::degrease:
      take("gloves_nitrile", 1);
      take("rag_cotton", 1 + std::floor(task.area_m2));
      break;
    case StepKind::spirit_wipe:
    case StepKind::stain:
    case StepKind::oil:
    case StepKind::wash:
      take("gloves_nitrile", 1);
      take("rag_cotton", 1 + std::floor(task.area_m2 / 2));
      break;
    case StepKind::dust_off:
      take("tack_cloth", 0.25 + task.area_m2 / 8);
      break;
    case StepKind::lead_test:
      take("lead_test_kit", 1);
      break;
    case StepKind::test_board:
      take("test_board", 1);
      break;
    default:
      break;
  }
  const double hours = task.minutes / 60 * std::max(1, task.people);
  if (task.step.grit > 0) take("mask_p100", hours / kFilterHours);
  const catalog::Product* product = catalog.product(task.step.product);
  if (product == nullptr || product->kind == catalog::Kind::consumable) return;
  const bool vapour = organic_share(*product) >= kVapourShare;
  if (!gloves && (vapour || product->cure == catalog::Cure::crosslink || product->kind == catalog::Kind::stripper))
    take("gloves_nitrile", std::max(1, task.people));
  if (vapour) take("cartridge_organic_vapour", hours / kCartridgeHours);
}

// What reaches the work and is lost on the way there.
Use film_of(const Task& task, const job::PieceOrder& order, const catalog::Product& product) {
  const finish::Step& step = task.step;
  const catalog::Application* application = catalog::find_application(product, step.method);
  if (!application) application = catalog::usual(product);
  const double absorbed = step.ground == film::Ground::bare_wood ? product.absorbency : 0;
  return {step.product,
          order.piece.id,
          task.area_m2 * (is_spot(step) ? kSpotShare : 1),
          step.wet_um,
          application ? application->transfer : 0.9,
          absorbed,
          0};
}

const catalog::Product* coated_with(const Task& task, const catalog::Catalog& catalog) {
  const catalog::Product* product = catalog.product(task.step.product);
  const bool coats = product && product->kind != catalog::Kind::consumable && task.step.wet_um > 0 && task.area_m2 > 0;
  return coats ? product : nullptr;
}

// J/mol and K: as film/recipe.cpp has them for what reacts.
constexpr double kPotActivation = 51e3, kGas = 8.314462618, kZeroC = 273.15;
constexpr double kPotShare = 0.75;
constexpr int kMostBatches = 1000;

}  // namespace

std::optional<Mixed> mixed_for(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                               double temp_c) {
  const catalog::Product* product = coated_with(task, catalog);
  if (product == nullptr || !product->pot_life_h || product->unit != "l") return {};
  const double warmth = kPotActivation / kGas * (1 / (product->label.temp_c + kZeroC) - 1 / (temp_c + kZeroC));
  const double pot_min = *product->pot_life_h * 60 / std::max(1.0, std::exp(warmth));
  Mixed mix;
  mix.temp_c = temp_c;
  mix.within_min = std::max(1.0, std::floor(pot_min * kPotShare));
  mix.batches = std::clamp(static_cast<int>(std::ceil(task.minutes / mix.within_min - 1e-9)), 1, kMostBatches);
  mix.each =
      materials::amount_of(film_of(task, order, *product)) / mix.batches + catalog.left_in_tool_l(task.step.method);
  return mix;
}

std::string to_text(const Mixed& mix, const catalog::Product& product, units::System system) {
  const std::string each = units::format_volume(mix.each, system);
  return (mix.batches == 1 ? "Mix " + each + " at once"
                           : "Mix " + std::to_string(mix.batches) + " times " + each + ", not more at once") +
         ": use it up within " + units::format_hours(mix.within_min / 60) + " of mixing at " +
         units::format_temperature(mix.temp_c, system) + " (pot life by the label " +
         units::format_hours(*product.pot_life_h) + " at " + units::format_temperature(product.label.temp_c, system) +
         "; a big batch warms itself and goes sooner).";
}

std::vector<Use> uses_of(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                         double temp_c) {
  std::vector<Use> uses;
  if (const catalog::Product* product = coated_with(task, catalog)) {
    Use use = film_of(task, order, *product);
    const auto mix = mixed_for(task, order, catalog, temp_c);
    use.amount = catalog.left_in_tool_l(task.step.method) * (mix ? mix->batches : 1);
    use.amount += materials::amount_of(use) * catalog.left_in_can();
    uses.push_back(std::move(use));
  }
  add_consumables(task, catalog, order.piece.id, uses);
  return uses;
}

double paper_m2(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog) {
  if (task.step.grit <= 0 || !(task.area_m2 > 0)) return 0;
  const catalog::Abrasive* abrasive = catalog.abrasive(task.step.grit);
  return abrasive && abrasive->m2_per_sheet > 0 ? task.area_m2 * clogging_of(task, order) : 0;
}

std::string paper_id(int grit) { return "abrasive_p" + std::to_string(grit); }

std::vector<StepUse> drawn_by(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                              double temp_c) {
  std::vector<StepUse> drawn;
  for (const Use& use : uses_of(task, order, catalog, temp_c)) {
    const auto same =
        std::find_if(drawn.begin(), drawn.end(), [&](const StepUse& one) { return one.product == use.product; });
    if (same == drawn.end())
      drawn.push_back({use.product, materials::amount_of(use)});
    else
      same->amount += materials::amount_of(use);
  }
  if (const double paper = paper_m2(task, order, catalog); paper > 0)
    drawn.push_back({paper_id(task.step.grit), paper / catalog.abrasive(task.step.grit)->m2_per_sheet});
  return drawn;
}

Results<std::vector<materials::Need>> needs_of(const std::vector<std::pair<std::string, StepUse>>& by_piece,
                                               const catalog::Catalog& catalog) {
  std::vector<Use> uses;
  std::map<std::string, materials::Need> papers;
  for (const auto& [piece, use] : by_piece) {
    if (!use.product.starts_with("abrasive_p")) {
      uses.push_back({use.product, piece, 0, 0, 1, 0, use.amount, spread_of(use.product)});
      continue;
    }
    materials::Need& paper = papers[use.product];
    paper.product = use.product;
    paper.unit = "sheet";
    paper.expected += use.amount;
    const auto same = std::find_if(paper.by_piece.begin(), paper.by_piece.end(),
                                   [&, id = piece](const auto& one) { return one.first == id; });
    if (same == paper.by_piece.end())
      paper.by_piece.emplace_back(piece, use.amount);
    else
      same->second += use.amount;
  }
  auto needs = materials::takeoff(uses, catalog);
  if (!needs) return needs;
  for (auto& [id, paper] : papers) {
    paper.for_90_percent =
        std::ceil(materials::quantile_90(paper.expected, kSheetCv * kSheetCv * paper.expected * paper.expected) - 1e-9);
    needs->push_back(std::move(paper));
  }
  return needs;
}

}  // namespace tackcloth::plan
