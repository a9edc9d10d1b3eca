#include "plan/shelf.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "job/stock_step.h"
#include "plan/step_mark.h"
#include "plan/uses.h"

namespace tackcloth::plan {

using materials::Move;
using materials::Movement;
using materials::stock_amount;

namespace {

constexpr std::size_t kShortsNamed = 4;

std::string day(Instant when) { return to_iso(when).substr(0, 10); }

// What one step is among others, however ids move: the part of its mark that names it.
std::string name_of(const LogEntry& entry, const std::optional<StepMark>& mark) {
  if (!mark) return entry.step;
  std::string name = mark->piece + "\n" + mark->step + "\n" + mark->product + "\n" + std::to_string(mark->grit) + "\n" +
                     std::to_string(mark->nth);
  for (const std::string& zone : mark->zones) name += "\n" + zone;
  return name;
}

}  // namespace

std::vector<Movement> shelf_at_start(const job::Job& job) {
  std::vector<Movement> there;
  for (const job::ShelfItem& item : job.shelf)
    there.push_back({Move::there, item.product, materials::stock_grains(item.amount), job.start.value_or(Instant{}),
                     item.bought, item.opened, ""});
  return there;
}

materials::KeepsOf keeps_of(const catalog::Catalog& catalog) {
  return [&catalog](const std::string& id) -> materials::Keeps {
    const catalog::Product* product = catalog.product(id);
    return product ? materials::Keeps{product->shelf_life_months, product->opened_months} : materials::Keeps{};
  };
}

std::vector<Movement> used_by(const std::vector<LogEntry>& log,
                              const std::map<std::string, std::vector<StepUse>>& by_id) {
  std::vector<const LogEntry*> in_time;
  for (const LogEntry& entry : log) in_time.push_back(&entry);
  std::stable_sort(in_time.begin(), in_time.end(),
                   [](const LogEntry* a, const LogEntry* b) { return a->when < b->when; });
  std::vector<Movement> used;
  std::set<std::string> seen;
  for (const LogEntry* entry : in_time) {
    const auto mark = entry->mark.empty() ? std::nullopt : read_mark(entry->mark);
    const bool test = entry->what.starts_with("lead_") && mark && mark->step == "lead_test";
    if (entry->what != "done" && !test) continue;
    if (!seen.insert(name_of(*entry, mark)).second) continue;
    const std::vector<StepUse>* uses = nullptr;
    if (mark && mark->uses_told) {
      uses = &mark->uses;
    } else if (const auto found = by_id.find(entry->step); found != by_id.end()) {
      uses = &found->second;
    }
    if (uses == nullptr) continue;
    for (const StepUse& use : *uses)
      if (const auto grains = materials::stock_grains(use.amount); grains > 0)
        used.push_back({Move::used, use.product, grains, entry->when, {}, {}, entry->step});
  }
  return used;
}

namespace {

void say(ShelfLine& line, std::optional<Instant> last_need, units::System system) {
  const auto amount = [&](std::int64_t grains) { return job::format_amount(stock_amount(grains), line.unit, system); };
  const materials::Book& book = line.book;
  if (book.on_shelf < 0) {
    std::string text = "At least " + amount(-book.on_shelf) + " more was used than is known to have been there: ";
    for (std::size_t k = 0; k < book.shorts.size() && k < kShortsNamed; ++k) {
      const materials::Short& one = book.shorts[k];
      text += (k ? ", " : "") + (one.by.empty() ? std::string("thrown away") : one.by) + " " + amount(one.amount) +
              " on " + day(one.when);
    }
    if (book.shorts.size() > kShortsNamed)
      text += " and " + std::to_string(book.shorts.size() - kShortsNamed) + " more";
    line.says.push_back(text + ". Tell what came: tackcloth stock came " + line.product +
                        " AMOUNT --on DATE, or what is there now: tackcloth stock counted " + line.product +
                        " AMOUNT.");
  }
  if (book.expired > 0)
    line.says.push_back(amount(book.expired) + " is past its date and not counted on; when it is thrown away: " +
                        "tackcloth stock gone " + line.product + " AMOUNT.");
  std::int64_t ends = 0;
  if (last_need) ends = line.usable - materials::usable_at(book, *last_need);
  if (ends > 0)
    line.says.push_back("The date of " + amount(ends) + " ends before the last step that needs it, on " +
                        day(*last_need) + ": it is bought anew for that.");
  if (book.found != 0 && book.counted)
    line.says.push_back("Counts were " + amount(std::abs(book.found)) + (book.found < 0 ? " below" : " above") +
                        " the book, the last one on " + day(*book.counted) + ".");
}

}  // namespace

Results<Shelf> shelf_of(const job::Job& job, const Plan& plan, const std::vector<Movement>& told,
                        const std::vector<LogEntry>& log, const catalog::Catalog& catalog, Instant now) {
  std::map<std::string, std::vector<StepUse>> by_id;
  std::vector<std::pair<std::string, StepUse>> to_come;
  std::map<std::string, Instant> last_need;
  for (const PlannedPiece& piece : plan.pieces)
    for (const PlannedStep& step : piece.schedule) {
      by_id[step.id] = step.uses;
      if (step.done) continue;
      for (const StepUse& use : step.uses) {
        if (!job::stocked(use.product, catalog)) continue;  // the catalogue was changed since
        to_come.emplace_back(piece.id, use);
        const auto [at, fresh] = last_need.try_emplace(use.product, step.start);
        if (!fresh) at->second = std::max(at->second, step.start);
      }
    }
  auto needs = needs_of(to_come, catalog);
  if (!needs) return tl::unexpected(needs.error());
  std::vector<Movement> all = shelf_at_start(job);
  all.insert(all.end(), told.begin(), told.end());
  for (Movement& use : used_by(log, by_id)) all.push_back(std::move(use));
  const materials::KeepsOf keeps = keeps_of(catalog);

  std::map<std::string, ShelfLine> lines;
  for (materials::Book& book : materials::books(std::move(all), keeps, now)) {
    ShelfLine& line = lines[book.product];
    line.product = book.product;
    line.usable = materials::usable_at(book, now);
    line.book = std::move(book);
  }
  for (const materials::Need& need : *needs) {
    ShelfLine& line = lines[need.product];
    line.product = line.book.product = need.product;
    line.reserved = static_cast<std::int64_t>(std::ceil(need.for_90_percent * materials::kStockGrain - 1e-6));
    line.for_pieces = need.by_piece;
  }
  Shelf shelf{now, {}};
  for (auto& [id, line] : lines) {
    const auto known = job::stocked(id, catalog);
    line.name = known ? known->name : id;
    line.unit = known ? known->unit : "l";
    line.free = line.usable - line.reserved;
    const auto need = last_need.find(id);
    say(line, need == last_need.end() ? std::nullopt : std::optional(need->second), plan.system);
    shelf.lines.push_back(std::move(line));
  }
  std::sort(shelf.lines.begin(), shelf.lines.end(), [](const ShelfLine& a, const ShelfLine& b) {
    return std::tie(a.name, a.product) < std::tie(b.name, b.product);
  });
  return shelf;
}

}  // namespace tackcloth::plan
