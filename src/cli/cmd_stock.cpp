// stock: what is on the shelf, what of it is kept for open pieces; and what came, what there is by count, what is gone.
#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <iostream>
#include <memory>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/problems.h"
#include "cli/stored_shelf.h"
#include "job/stock_step.h"
#include "sheet/csv.h"
#include "sheet/sheet.h"

namespace tackcloth::cli {
namespace {

using materials::Move;
using materials::stock_amount;
using nlohmann::ordered_json;

struct StockCommand {
  std::string data = "tackcloth.db", csv, product, amount, on, bought, opened, key;
  int packs = 1;
  bool listed = false, json = false;
};

std::string day(const std::optional<Instant>& when) { return when ? to_iso(*when).substr(0, 10) : ""; }

void print(const StoredShelf& stored) {
  const units::System system = stored.plan.system;
  if (stored.shelf.lines.empty()) {
    std::cout << "Nothing is known to be on the shelf, and nothing is needed.\n";
    return;
  }
  std::cout << fmt::format("{:<34} {:>12} {:>12} {:>12}  {}\n", "On the shelf, " + day(stored.shelf.now), "there",
                           "reserved", "free", "use by");
  for (const plan::ShelfLine& line : stored.shelf.lines) {
    const auto amount = [&](std::int64_t grains) {
      const double value = stock_amount(grains);
      return (value < 0 ? "-" : "") + job::format_amount(std::abs(value), line.unit, system);
    };
    std::cout << fmt::format("{:<34} {:>12} {:>12} {:>12}  {}\n", line.name, amount(line.book.on_shelf),
                             amount(line.reserved), amount(line.free), day(line.book.use_by));
    for (const std::string& text : line.says) std::cout << "    " << text << "\n";
  }
  std::cout << "Reserved: enough in nine jobs of ten for the steps to come. Free below zero: still to be bought "
               "(tackcloth buy --data).\n";
  for (const plan::PlannedPiece& piece : stored.plan.pieces) {
    if (piece.left_over.empty()) continue;
    Money sum;
    for (const plan::LeftOver& left : piece.left_over) sum += left.in_price;
    std::string when;
    for (const plan::PlannedStep& step : piece.schedule)
      if (step.done && step.step == "hand_over") when = ", handed over " + day(step.end);
    std::cout << piece.name << when << ": left over by plan, and in its price: " << to_text(sum) << " "
              << stored.currency << "\n";
    for (const plan::LeftOver& left : piece.left_over)
      std::cout << "    " << left.name << " " << job::format_amount(left.amount, left.unit, system) << " ("
                << to_text(left.in_price) << ")\n";
  }
}

std::string csv_of(const StoredShelf& stored) {
  std::string out = sheet::csv_row({"product", "name", "unit", "there_at_start", "came", "found", "used", "gone",
                                    "on_shelf", "past_its_date", "reserved", "free", "use_by", "says"});
  const auto number = [](std::int64_t grains) { return fmt::format("{:.4f}", stock_amount(grains)); };
  for (const plan::ShelfLine& line : stored.shelf.lines) {
    const materials::Book& book = line.book;
    std::string says;
    for (const std::string& text : line.says) says += (says.empty() ? "" : " ") + text;
    out += sheet::csv_row({line.product, line.name, line.unit, number(book.there), number(book.came),
                           number(book.found), number(book.used), number(book.gone), number(book.on_shelf),
                           number(book.expired), number(line.reserved), number(line.free), day(book.use_by), says});
  }
  return out;
}

Results<void> show(const StockCommand& command, const Context& context) {
  auto ledger = open_stored(command.data);
  if (!ledger) return one(ledger.error());
  const auto stored = stored_shelf(**ledger, wall_clock(), context);
  if (!stored) return tl::unexpected(stored.error());
  if (!command.csv.empty()) {
    if (const auto written = sheet::write_file(command.csv, csv_of(*stored)); !written) return one(written.error());
    std::cerr << "wrote " << command.csv << "\n";
  }
  if (command.json)
    std::cout << json_of(*stored).dump(2) << "\n";
  else
    print(*stored);
  return {};
}

// Stored, planned anew, and shown.
Results<void> store(ledger::Ledger& ledger, const StockCommand& command, const std::string& body,
                    const Context& context) {
  const std::string now = to_iso(wall_clock());
  const std::string key =
      command.key.empty() ? "cli stock " + now + " " + std::to_string(std::hash<std::string>{}(body)) : command.key;
  const auto id = ledger.add_change({0, key, now, body});
  if (!id) return one(id.error());
  if (const auto latest = ledger.latest_plan(); latest && latest->has_value())
    if (const auto plan = replan_and_store(ledger, now, context); !plan) return tl::unexpected(plan.error());
  const auto stored = stored_shelf(ledger, wall_clock(), context);
  if (!stored) return tl::unexpected(stored.error());
  if (command.json) {
    ordered_json json{{"id", *id}, {"key", key}};
    json.update(json_of(*stored));
    std::cout << json.dump(2) << "\n";
    return {};
  }
  print(*stored);
  std::cout << "To take this back: tackcloth stock back '" << key << "'\n";
  return {};
}

Results<void> tell(const StockCommand& command, Move word, const Context& context) {
  auto ledger = open_stored(command.data);
  if (!ledger) return one(ledger.error());
  const auto loaded = catalog::load_catalog(context.catalog_dir);
  if (!loaded) return tl::unexpected(loaded.error());
  job::StockStep step{word, command.on, {}};
  if (command.listed) {
    const auto planned = stored_plan_and_catalog(command.data, context);
    if (!planned) return tl::unexpected(planned.error());
    for (const materials::Purchase& purchase : planned->plan.purchases) {
      if (!job::stocked(purchase.product, *loaded)) continue;  // cloth by a layout is not kept on the shelf
      for (const materials::Purchase::Line& line : purchase.lines)
        step.lines.push_back({purchase.product, line.pack, line.count, "", ""});
    }
    if (step.lines.empty())
      return one(problem_of("there is nothing on the shopping list", "a plan with something to buy",
                            "name a product and an amount"));
  } else {
    const auto known = job::stocked(command.product, *loaded);
    if (!known)
      return one(problem_of("there is no product '" + command.product.substr(0, 60) + "'",
                            "the id of a product of the catalogue, or abrasive_p120",
                            "tackcloth stock --json and docs/catalog.md have the ids"));
    const auto amount = job::parse_amount(command.amount, known->unit);
    if (!amount) return one(amount.error());
    step.lines.push_back({command.product, *amount, command.packs, command.bought, command.opened});
  }
  const auto body = stock_told(**ledger, job::to_json(step), to_iso(wall_clock()), context);
  if (!body) return one(body.error());
  return store(**ledger, command, *body, context);
}

Results<void> take_back(const StockCommand& command, const Context& context) {
  auto ledger = open_stored(command.data);
  if (!ledger) return one(ledger.error());
  const auto standing = standing_job(**ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  // Taking back what was taken back puts it in force again.
  std::string named = command.key;
  bool found = false;
  for (const job::Change& change : standing->changes) {
    if (change.key == command.key && change.stock) found = true;
    if (found && change.takes_back == named && change.stands) named = change.key;
  }
  if (!found)
    return one(problem_of("nothing was told of the shelf under '" + command.key.substr(0, 100) + "'",
                          "the key of what was told", "tackcloth stock --json lists them under told"));
  StockCommand back = command;
  back.key = "cli back " + std::to_string(standing->version) + " " + std::to_string(std::hash<std::string>{}(named));
  return store(**ledger, back, ordered_json{{"take_back", named}}.dump(), context);
}

}  // namespace

void add_stock(CLI::App& app, Context& context) {
  auto command = std::make_shared<StockCommand>();
  CLI::App* sub = app.add_subcommand("stock", "The shelf: what is there, reserved and free, and what came or is gone");
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  sub->add_option("--csv", command->csv, "also write it to this file");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->require_subcommand(0, 1);
  const auto answer = [&context](const Results<void>& done) {
    if (!done) context.exit_code = report(done.error());
  };
  const auto add = [&](const char* name, const char* about, Move word) {
    CLI::App* told = sub->add_subcommand(name, about);
    told->fallthrough();
    auto* product = told->add_option("product", command->product, "id of the product, or abrasive_p120");
    auto* amount = told->add_option("amount", command->amount, "\"0.6 l\", \"1 qt\", \"12 m\", 3");
    told->add_option("--packs", command->packs, "so many of that amount")->check(CLI::Range(1, 1000));
    told->add_option("--on", command->on, "2026-03-04T17:30; now, if not given");
    told->add_option("--key", command->key, "what is told with the same key is stored once");
    if (word != Move::gone) {
      told->add_option("--bought", command->bought, "2026-03-04");
      told->add_option("--opened", command->opened, "2026-03-04");
    }
    if (word == Move::came) {
      auto* listed = told->add_flag("--listed", command->listed, "all that the plan's shopping list has");
      product->excludes(listed);
      amount->excludes(listed);
      told->callback([=, &context] {
        if (!command->listed && (command->product.empty() || command->amount.empty()))
          context.exit_code = report({problem_of("what came is missing", "PRODUCT AMOUNT, or --listed", "name it")});
        else
          answer(tell(*command, word, context));
      });
      return;
    }
    product->required();
    amount->required();
    told->callback([=, &context] { answer(tell(*command, word, context)); });
  };
  add("came", "Something was bought, or brought", Move::came);
  add("counted", "What there is of it in all, now", Move::counted);
  add("gone", "Thrown away, dried up, lent", Move::gone);
  CLI::App* back = sub->add_subcommand("back", "Take back what was told, or put it in force again");
  back->fallthrough();
  back->add_option("key", command->key, "as it was said when it was told")->required();
  back->callback([=, &context] { answer(take_back(*command, context)); });
  sub->callback([=, &context] {
    if (sub->get_subcommands().empty()) answer(show(*command, context));
  });
}

}  // namespace tackcloth::cli
