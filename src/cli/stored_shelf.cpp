#include "cli/stored_shelf.h"

#include <filesystem>

#include "catalog/catalog.h"
#include "cli/problems.h"
#include "job/stock_step.h"

namespace tackcloth::cli {
namespace {

using materials::stock_amount;
using nlohmann::ordered_json;

constexpr std::size_t kToldShown = 50;

ordered_json date(const std::optional<Instant>& when) {
  return when ? ordered_json(to_iso(*when)) : ordered_json(nullptr);
}

ordered_json json_of(const plan::ShelfLine& line) {
  const materials::Book& book = line.book;
  ordered_json lots = ordered_json::array(), shorts = ordered_json::array(), pieces = ordered_json::array();
  for (const materials::Lot& lot : book.lots)
    lots.push_back({{"amount", stock_amount(lot.amount)},
                    {"bought", date(lot.bought)},
                    {"opened", date(lot.opened)},
                    {"use_by", date(lot.use_by)}});
  for (const materials::Short& short_of : book.shorts)
    shorts.push_back(
        {{"step", short_of.by}, {"when", to_iso(short_of.when)}, {"amount", stock_amount(short_of.amount)}});
  for (const auto& [piece, amount] : line.for_pieces) pieces.push_back({{"piece", piece}, {"amount", amount}});
  return {{"product", line.product},
          {"name", line.name},
          {"unit", line.unit},
          {"on_shelf", stock_amount(book.on_shelf)},
          {"expired", stock_amount(book.expired)},
          {"usable", stock_amount(line.usable)},
          {"reserved", stock_amount(line.reserved)},
          {"free", stock_amount(line.free)},
          {"use_by", date(book.use_by)},
          {"told", book.told},
          {"counted", date(book.counted)},
          {"book",
           {{"there", stock_amount(book.there)},
            {"came", stock_amount(book.came)},
            {"found", stock_amount(book.found)},
            {"used", stock_amount(book.used)},
            {"gone", stock_amount(book.gone)}}},
          {"cans", lots},
          {"short", shorts},
          {"for_pieces", pieces},
          {"says", line.says}};
}

ordered_json left_over_of(const plan::PlannedPiece& piece) {
  ordered_json lines = ordered_json::array(), handed_over = nullptr;
  Money sum;
  for (const plan::LeftOver& left : piece.left_over) {
    lines.push_back({{"product", left.product},
                     {"name", left.name},
                     {"unit", left.unit},
                     {"amount", left.amount},
                     {"in_price", to_text(left.in_price)}});
    sum += left.in_price;
  }
  for (const plan::PlannedStep& step : piece.schedule)
    if (step.done && step.step == "hand_over") handed_over = to_iso(step.end);
  return {{"piece", piece.id},
          {"name", piece.name},
          {"handed_over", handed_over},
          {"lines", lines},
          {"in_price", to_text(sum)}};
}

}  // namespace

Results<StoredShelf> stored_shelf(ledger::Ledger& ledger, Instant now, const Context& context) {
  auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error());
  const auto job = job::parse_job(standing->toml, standing->name, **catalog,
                                  set_up_on_page(standing->name) ? job::Pieces::may_be_none : job::Pieces::needed);
  if (!job) return tl::unexpected(job.error());
  const auto latest = ledger.latest_plan();
  if (!latest) return one(latest.error());
  plan::Plan plan;
  plan.system = job->shop.system;
  if (latest->has_value()) {
    auto read = plan::from_json((*latest)->plan_json);
    if (!read) return one(read.error());
    plan = std::move(*read);
  }
  auto shelf = plan::shelf_of(*job, plan, job::told_stock(standing->changes), standing->log, **catalog, now);
  if (!shelf) return tl::unexpected(shelf.error());
  return StoredShelf{std::move(*shelf), std::move(plan), job->shop.currency, std::move(standing->changes)};
}

ordered_json json_of(const StoredShelf& stored) {
  ordered_json lines = ordered_json::array(), pieces = ordered_json::array(), told = ordered_json::array();
  for (const plan::ShelfLine& line : stored.shelf.lines) lines.push_back(json_of(line));
  for (const plan::PlannedPiece& piece : stored.plan.pieces)
    if (!piece.left_over.empty()) pieces.push_back(left_over_of(piece));
  std::vector<const job::Change*> shown;
  for (const job::Change& change : stored.changes)
    if (change.stock) shown.push_back(&change);
  if (shown.size() > kToldShown) shown.erase(shown.begin(), shown.end() - static_cast<std::ptrdiff_t>(kToldShown));
  for (const job::Change* change : shown) {
    ordered_json one{{"key", change->key}, {"when", change->when}, {"stands", change->stands}};
    one.update(ordered_json::parse(job::to_json(*change->stock)));
    told.push_back(std::move(one));
  }
  return {{"now", to_iso(stored.shelf.now)},
          {"currency", stored.currency},
          {"units", stored.plan.system == units::System::us ? "us" : "metric"},
          {"lines", lines},
          {"left_over", pieces},
          {"told", told}};
}

Result<std::string> shelf_page(ledger::Ledger& ledger, const std::string& now, const Context& context) {
  const auto here = parse_instant(now);
  if (!here) return tl::unexpected(here.error());
  const auto stored = stored_shelf(ledger, *here, context);
  if (!stored) return tl::unexpected(stored.error().front());
  return json_of(*stored).dump(-1, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

Result<std::string> stock_told(ledger::Ledger&, const std::string& asked, const std::string& now,
                               const Context& context) {
  const auto here = parse_instant(now);
  if (!here) return tl::unexpected(here.error());
  const auto step = job::read_stock_step(asked);
  if (!step) return tl::unexpected(step.error());
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error().front());
  if (const auto good = job::check_stock(*step, **catalog, *here); !good) return tl::unexpected(good.error());
  return job::to_json(*step);
}

Result<std::unique_ptr<ledger::Ledger>> open_stored(const std::string& data) {
  const bool remote = data.starts_with("postgresql://") || data.starts_with("postgres://");
  if (!remote && !std::filesystem::exists(data))
    return tl::unexpected(Problem{data, 0, 0, "there is no such data file",
                                  "a file that tackcloth serve keeps, or postgresql://...", "name it with --data"});
  return ledger::open(data);
}

Results<Planned> stored_plan_and_catalog(const std::string& data, const Context& context) {
  auto ledger = open_stored(data);
  if (!ledger) return one(ledger.error());
  auto loaded = load(context);
  if (!loaded) return tl::unexpected(loaded.error());
  const auto latest = (*ledger)->latest_plan();
  if (!latest) return one(latest.error());
  if (!latest->has_value())
    return one({"", 0, 0, "there is no plan in it", "a stored plan",
                "start with tackcloth serve --job JOB.toml --data FILE.db"});
  auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return one(plan.error());
  return Planned{std::move(*loaded), {}, std::move(*plan)};
}

}  // namespace tackcloth::cli
