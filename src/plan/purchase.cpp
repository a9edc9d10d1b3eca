#include "plan/purchase.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "materials/spread.h"
#include "plan/abrasives.h"
#include "plan/cut_purchase.h"

namespace tackcloth::plan {

using finish::StepKind;
using materials::Use;

namespace {

// Consumables of one step (common practice, no source): how many pieces of each a task takes.
void add_consumables(const Task& task, const catalog::Catalog& catalog, const std::string& piece,
                     std::vector<Use>& uses) {
  const auto take = [&](const char* product, double amount) {
    if (catalog.product(product) && amount > 0) uses.push_back({product, piece, 0, 0, 1, 0, amount});
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
}

struct Sheets {  // as m² of bare wood
  double all = 0;
  std::map<std::string, double> by_piece;
};

}  // namespace

std::vector<Money> shared_out(Money total, const std::vector<double>& shares) {
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  std::vector<Money> parts(shares.size());
  std::vector<std::pair<double, std::size_t>> rest;
  std::int64_t given = 0;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    const double exact = sum > 0 ? double(total.minor) * shares[i] / sum : double(total.minor) / double(shares.size());
    parts[i].minor = static_cast<std::int64_t>(std::floor(exact));
    given += parts[i].minor;
    rest.emplace_back(-(exact - std::floor(exact)), i);
  }
  std::sort(rest.begin(), rest.end());
  for (std::size_t i = 0; given < total.minor && i < rest.size(); ++i, ++given) ++parts[rest[i].second].minor;
  return parts;
}

Results<Bought> buy(const job::Job& job, const std::vector<Task>& tasks, const catalog::Catalog& catalog,
                    Instant start) {
  std::vector<Use> uses;
  std::map<int, Sheets> sheets;
  std::vector<double> hours(job.pieces.size(), 0);
  for (const Task& task : tasks) {
    const std::string& piece = job.pieces[static_cast<std::size_t>(task.piece)].piece.id;
    hours[static_cast<std::size_t>(task.piece)] += task.minutes / 60 * task.people;
    const finish::Step& step = task.step;
    const catalog::Product* product = catalog.product(step.product);
    if (product && product->kind != catalog::Kind::consumable && step.wet_um > 0 && task.area_m2 > 0) {
      const catalog::Application* application = catalog::find_application(*product, step.method);
      if (!application) application = catalog::usual(*product);
      const double absorbed = step.ground == film::Ground::bare_wood ? product->absorbency : 0;
      uses.push_back(
          {step.product, piece, task.area_m2, step.wet_um, application ? application->transfer : 0.9, absorbed, 0});
    }
    add_consumables(task, catalog, piece, uses);
    if (step.grit > 0 && task.area_m2 > 0)
      if (const catalog::Abrasive* abrasive = catalog.abrasive(step.grit); abrasive && abrasive->m2_per_sheet > 0) {
        Sheets& s = sheets[step.grit];
        const double spent_m2 = task.area_m2 * clogging_of(task, job.pieces[static_cast<std::size_t>(task.piece)]);
        s.all += spent_m2;
        s.by_piece[piece] += spent_m2;
      }
  }
  const auto needs = materials::takeoff(uses, catalog);
  if (!needs) return tl::unexpected(needs.error());
  std::vector<materials::Shelf> shelf;
  for (const job::ShelfItem& item : job.shelf) {
    const double months = item.opened ? std::max(0.0, hours_between(*item.opened, start) / (24 * 30.44)) : 0;
    shelf.push_back({item.product, item.amount, months});
  }
  auto packs = materials::choose_packs(*needs, shelf, catalog);
  if (!packs) return tl::unexpected(packs.error());

  Bought bought;
  bought.purchases = std::move(*packs);
  std::vector<Money> piece_materials(job.pieces.size());
  const auto share = [&](Money total, const std::vector<std::pair<std::string, double>>& by_piece) {
    std::vector<double> shares(job.pieces.size(), 0);
    for (const auto& [id, amount] : by_piece)
      for (std::size_t p = 0; p < job.pieces.size(); ++p)
        if (job.pieces[p].piece.id == id) shares[p] += amount;
    const std::vector<Money> parts = shared_out(total, shares);
    for (std::size_t p = 0; p < parts.size(); ++p) piece_materials[p] += parts[p];
  };
  for (const materials::Purchase& purchase : bought.purchases)
    for (const materials::Need& need : *needs)
      if (need.product == purchase.product) share(purchase.total, need.by_piece);
  for (const auto& [grit, s] : sheets) {
    const catalog::Abrasive& abrasive = *catalog.abrasive(grit);
    materials::Purchase purchase;
    purchase.product = "abrasive_p" + std::to_string(grit);
    purchase.name = "Abrasive sheets P" + std::to_string(grit);
    purchase.unit = "sheet";
    const double for_90_m2 = materials::quantile_90(s.all, kSheetCv * kSheetCv * s.all * s.all);
    const int count = materials::abrasive_sheets(for_90_m2, abrasive);
    purchase.need = count;
    purchase.lines.push_back({1, count, abrasive.price_per_sheet, scaled(abrasive.price_per_sheet, count)});
    purchase.total = purchase.lines.back().total;
    purchase.optimal = true;
    share(purchase.total, {s.by_piece.begin(), s.by_piece.end()});
    bought.purchases.push_back(std::move(purchase));
  }
  for (CutPurchase& cut : cut_purchases(job)) {
    share(cut.purchase.total, cut.by_piece);
    bought.purchases.push_back(std::move(cut.purchase));
  }
  const job::Shop& shop = job.shop;
  for (std::size_t p = 0; p < job.pieces.size(); ++p) {
    bought.by_piece.push_back(materials::price(piece_materials[p], hours[p], shop.hourly_rate, shop.overhead_percent,
                                               shop.profit_percent, shop.tax_percent,
                                               materials::sum_of(job::waste_fees(job.shop, job.pieces[p]))));
    const materials::Price& price = bought.by_piece.back();
    bought.total.materials += price.materials;
    bought.total.labour += price.labour;
    bought.total.overhead += price.overhead;
    bought.total.profit += price.profit;
    bought.total.fees += price.fees;
    bought.total.tax += price.tax;
    bought.total.total += price.total;
    bought.total.hours += price.hours;
  }
  return bought;
}

}  // namespace tackcloth::plan
