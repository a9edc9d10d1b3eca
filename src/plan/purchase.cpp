#include "plan/purchase.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

#include "materials/spread.h"
#include "plan/abrasives.h"
#include "plan/cut_purchase.h"
#include "plan/shelf.h"
#include "plan/uses.h"

namespace tackcloth::plan {

using materials::Use;

namespace {

struct Sheets {  // as m² of bare wood
  double all = 0;
  std::map<std::string, double> by_piece;
};

// Each piece's part of what the packs leave over, and of what they cost. Money adds up to what was paid for it.
void leave_over(const materials::Purchase& purchase, const std::vector<double>& shares, double expected,
                const std::vector<Money>& paid, std::vector<std::vector<LeftOver>>& left) {
  double bought = 0;
  for (const materials::Purchase::Line& line : purchase.lines) bought += line.pack * line.count;
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  // The shelf's own is used first: what is left is of what was bought.
  const double over = std::min(bought, bought + purchase.from_shelf - expected);
  if (!(over > 0.5 / materials::kStockGrain) || !(sum > 0)) return;
  for (std::size_t p = 0; p < shares.size(); ++p) {
    if (!(shares[p] > 0)) continue;
    const Money worth{std::llround(double(paid[p].minor) * over / bought)};
    left[p].push_back({purchase.product, purchase.name, purchase.unit, over * shares[p] / sum, worth});
  }
}

// Of what was told: the steps to come, less what is on the shelf and still good when they need it.
Results<std::vector<materials::Purchase>> still_to_buy(const job::Job& job, const std::vector<Task>& tasks,
                                                       const catalog::Catalog& catalog, Instant start,
                                                       const SoFar& so_far, const std::set<std::string>& told) {
  std::vector<std::pair<std::string, StepUse>> to_come;
  std::map<std::string, std::vector<StepUse>> by_id;
  std::map<std::string, Instant> last_need;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const job::PieceOrder& order = job.pieces[static_cast<std::size_t>(tasks[t].piece)];
    const std::vector<StepUse> drawn = drawn_by(tasks[t], order, catalog, so_far.temps_c[t]);
    by_id[tasks[t].id] = drawn;
    if (so_far.done[t]) continue;
    for (const StepUse& use : drawn) {
      if (!told.contains(use.product)) continue;
      to_come.emplace_back(order.piece.id, use);
      Instant& last = last_need.try_emplace(use.product, start).first->second;
      last = std::max(last, so_far.starts[t]);
    }
  }
  auto needs = needs_of(to_come, catalog);
  if (!needs) return tl::unexpected(needs.error());
  std::vector<materials::Movement> all = shelf_at_start(job);
  all.insert(all.end(), so_far.told->begin(), so_far.told->end());
  if (so_far.log != nullptr)
    for (materials::Movement& use : used_by(*so_far.log, by_id)) all.push_back(std::move(use));
  std::vector<materials::Shelf> shelf;
  std::map<std::string, double> sheets;
  for (const materials::Book& book : materials::books(std::move(all), keeps_of(catalog), start)) {
    const auto last = last_need.find(book.product);
    if (last == last_need.end()) continue;
    const double usable = materials::stock_amount(materials::usable_at(book, last->second));
    std::int64_t cans = 0;
    for (const materials::Lot& lot : book.lots) cans += lot.amount;
    if (book.product.starts_with("abrasive_p")) {
      sheets[book.product] = usable;
      continue;
    }
    shelf.push_back({book.product, usable, 0, false});
    if (const double past = materials::stock_amount(cans) - usable; past > 0)
      shelf.push_back({book.product, past, 0, true});
  }
  std::vector<materials::Need> papers;
  for (auto need = needs->begin(); need != needs->end();) {
    const bool paper = need->product.starts_with("abrasive_p");
    if (paper) papers.push_back(std::move(*need));
    need = paper ? needs->erase(need) : need + 1;
  }
  auto purchases = materials::choose_packs(*needs, shelf, catalog);
  if (!purchases) return purchases;
  for (const materials::Need& need : papers) {
    const int grit = std::stoi(need.product.substr(std::string("abrasive_p").size()));
    const Money each = catalog.abrasive(grit)->price_per_sheet;
    materials::Purchase purchase;
    purchase.product = need.product;
    purchase.name = "Abrasive sheets P" + std::to_string(grit);
    purchase.unit = need.unit;
    purchase.need = need.for_90_percent;
    purchase.expected = need.expected;
    purchase.from_shelf = std::min(need.for_90_percent, sheets[need.product]);
    const int count = static_cast<int>(std::ceil(need.for_90_percent - purchase.from_shelf - 1e-9));
    if (count > 0) purchase.lines.push_back({1, count, each, scaled(each, count)});
    purchase.left_over = count + purchase.from_shelf - purchase.need;
    purchase.total = scaled(each, count);
    purchase.optimal = true;
    purchases->push_back(std::move(purchase));
  }
  return purchases;
}

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

Results<Bought> buy(const job::Job& job, const std::vector<Task>& tasks, const catalog::Catalog& catalog, Instant start,
                    const SoFar& so_far) {
  std::vector<Use> uses;
  std::map<int, Sheets> sheets;
  std::vector<double> hours(job.pieces.size(), 0);
  std::map<std::string, Instant> last_need;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const Task& task = tasks[t];
    const job::PieceOrder& order = job.pieces[static_cast<std::size_t>(task.piece)];
    hours[static_cast<std::size_t>(task.piece)] += task.minutes / 60 * task.people;
    for (Use& use : uses_of(task, order, catalog, so_far.temps_c[t])) {
      Instant& last = last_need.try_emplace(use.product, start).first->second;
      last = std::max(last, so_far.starts[t]);
      uses.push_back(std::move(use));
    }
    if (const double spent_m2 = paper_m2(task, order, catalog); spent_m2 > 0) {
      Sheets& s = sheets[task.step.grit];
      s.all += spent_m2;
      s.by_piece[order.piece.id] += spent_m2;
    }
  }
  const auto needs = materials::takeoff(uses, catalog);
  if (!needs) return tl::unexpected(needs.error());
  std::vector<materials::Shelf> shelf;
  for (const materials::Book& book : materials::books(shelf_at_start(job), keeps_of(catalog), start)) {
    const auto last = last_need.find(book.product);
    const Instant when = last == last_need.end() ? start : last->second;
    const std::int64_t usable = materials::usable_at(book, when);
    shelf.push_back({book.product, materials::stock_amount(usable), 0, false});
    if (usable < book.on_shelf)
      shelf.push_back({book.product, materials::stock_amount(book.on_shelf - usable), 0, true});
  }
  auto packs = materials::choose_packs(*needs, shelf, catalog);
  if (!packs) return tl::unexpected(packs.error());

  Bought bought;
  bought.purchases = std::move(*packs);
  std::vector<Money> piece_materials(job.pieces.size());
  bought.left_over.resize(job.pieces.size());
  const auto share = [&](const materials::Purchase& purchase,
                         const std::vector<std::pair<std::string, double>>& by_piece, double expected) {
    std::vector<double> shares(job.pieces.size(), 0);
    for (const auto& [id, amount] : by_piece)
      for (std::size_t p = 0; p < job.pieces.size(); ++p)
        if (job.pieces[p].piece.id == id) shares[p] += amount;
    const std::vector<Money> parts = shared_out(purchase.total, shares);
    if (!purchase.lines.empty()) leave_over(purchase, shares, expected, parts, bought.left_over);
    for (std::size_t p = 0; p < parts.size(); ++p) piece_materials[p] += parts[p];
  };
  for (const materials::Purchase& purchase : bought.purchases)
    for (const materials::Need& need : *needs)
      if (need.product == purchase.product) share(purchase, need.by_piece, need.expected);
  for (const auto& [grit, s] : sheets) {
    const catalog::Abrasive& abrasive = *catalog.abrasive(grit);
    materials::Purchase purchase;
    purchase.product = "abrasive_p" + std::to_string(grit);
    purchase.name = "Abrasive sheets P" + std::to_string(grit);
    purchase.unit = "sheet";
    const double for_90_m2 = materials::quantile_90(s.all, kSheetCv * kSheetCv * s.all * s.all);
    const int count = materials::abrasive_sheets(for_90_m2, abrasive);
    purchase.need = count;
    purchase.expected = s.all / abrasive.m2_per_sheet;
    purchase.lines.push_back({1, count, abrasive.price_per_sheet, scaled(abrasive.price_per_sheet, count)});
    purchase.total = purchase.lines.back().total;
    purchase.optimal = true;
    share(purchase, {s.by_piece.begin(), s.by_piece.end()}, s.all / abrasive.m2_per_sheet);
    bought.purchases.push_back(std::move(purchase));
  }
  for (CutPurchase& cut : cut_purchases(job)) {
    share(cut.purchase, cut.by_piece, cut.purchase.need);
    bought.purchases.push_back(std::move(cut.purchase));
  }
  if (so_far.told != nullptr && !so_far.told->empty()) {
    std::set<std::string> told;
    for (const materials::Movement& movement : *so_far.told) told.insert(movement.product);
    auto still = still_to_buy(job, tasks, catalog, start, so_far, told);
    if (!still) return tl::unexpected(still.error());
    std::erase_if(bought.purchases, [&](const auto& purchase) { return told.contains(purchase.product); });
    for (materials::Purchase& purchase : *still) bought.purchases.push_back(std::move(purchase));
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
