// buy: what to get for a job, once.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_job.h"
#include "cli/stored_shelf.h"
#include "job/stock_step.h"
#include "materials/sellers.h"
#include "sheet/sheet.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct BuyCommand {
  std::string job, data, csv, sellers;
  PlanArgs args;
  bool json = false;
};

using job::format_amount;

void print_purchase(const materials::Purchase& purchase, units::System system) {
  std::cout << purchase.name << ": needs " << format_amount(purchase.need, purchase.unit, system);
  if (purchase.expected > 0 && purchase.expected < purchase.need * 0.9995)
    std::cout << " (expected " << format_amount(purchase.expected, purchase.unit, system) << ")";
  if (purchase.from_shelf > 0)
    std::cout << ", " << format_amount(purchase.from_shelf, purchase.unit, system) << " on the shelf";
  std::cout << "\n";
  for (const auto& line : purchase.lines)
    std::cout << "    " << line.count << " x " << format_amount(line.pack, purchase.unit, system) << " at "
              << to_text(line.each) << " = " << to_text(line.total) << "\n";
  if (purchase.left_over > 0 && !purchase.lines.empty())
    std::cout << "    left over: " << format_amount(purchase.left_over, purchase.unit, system) << "\n";
  if (!purchase.lines.empty() && !purchase.optimal)
    std::cout << "    enough, but not proven to be the cheapest choice of packs\n";
  if (!purchase.note.empty()) std::cout << "    " << purchase.note << "\n";
}

void print_baskets(const materials::Baskets& chosen, const plan::Plan& plan) {
  for (const materials::Basket& basket : chosen.baskets) {
    std::cout << basket.name << "\n";
    for (const auto& line : basket.lines)
      std::cout << "    " << line.count << " x " << format_amount(line.pack, line.unit, plan.system) << " " << line.name
                << " at " << to_text(line.each) << " = " << to_text(line.total) << "\n";
    std::cout << "    delivery " << to_text(basket.delivery) << ", in all " << to_text(basket.total) << "\n";
  }
  for (const std::string& note : chosen.notes) std::cout << note << "\n";
  std::cout << "To buy over all sellers, delivery included: " << to_text(chosen.total) << " " << plan.currency
            << (chosen.optimal ? "" : " (enough, but not proven to be the cheapest)") << "\n";
}

ordered_json json_of(const materials::Baskets& chosen) {
  ordered_json baskets = ordered_json::array();
  for (const materials::Basket& basket : chosen.baskets) {
    ordered_json lines = ordered_json::array();
    for (const auto& line : basket.lines)
      lines.push_back({{"product", line.product},
                       {"name", line.name},
                       {"unit", line.unit},
                       {"pack", line.pack},
                       {"count", line.count},
                       {"each", to_text(line.each)},
                       {"total", to_text(line.total)}});
    baskets.push_back({{"seller", basket.seller},
                       {"name", basket.name},
                       {"lines", lines},
                       {"goods", to_text(basket.goods)},
                       {"delivery", to_text(basket.delivery)},
                       {"total", to_text(basket.total)}});
  }
  return {{"baskets", baskets}, {"total", to_text(chosen.total)}, {"optimal", chosen.optimal}, {"notes", chosen.notes}};
}

void run_buy(BuyCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  if (command.job.empty() == command.data.empty()) {
    context.exit_code = report({{"", 0, 0, "there is nothing, or too much, to buy for", "a job file, or --data FILE.db",
                                 "name one of the two"}});
    return;
  }
  // Of a stored job what is on the shelf by now is known.
  const auto planned = command.data.empty() ? planned_job(command.job, command.args, context)
                                            : stored_plan_and_catalog(command.data, context);
  if (!planned) {
    context.exit_code = report(planned.error());
    return;
  }
  const plan::Plan* plan = &planned->plan;
  std::optional<materials::Baskets> baskets;
  if (!command.sellers.empty()) {
    const auto sellers = materials::read_sellers(command.sellers, *planned->loaded->catalog);
    if (!sellers) {
      context.exit_code = report(sellers.error());
      return;
    }
    baskets = materials::choose_sellers(plan->purchases, *sellers, *planned->loaded->catalog);
  }
  if (!command.csv.empty()) {
    if (const auto written = sheet::write_file(command.csv, sheet::shopping_csv(*plan)); !written) {
      context.exit_code = report({written.error()});
      return;
    }
    std::cerr << "wrote " << command.csv << "\n";
  }
  Money total;
  for (const materials::Purchase& purchase : plan->purchases) total += purchase.total;
  if (command.json) {
    const auto whole = ordered_json::parse(plan::to_json(*plan));
    ordered_json out{{"purchases", whole.at("purchases")}, {"total", to_text(total)}, {"currency", plan->currency}};
    if (baskets) out["sellers"] = json_of(*baskets);
    std::cout << out.dump(2) << "\n";
    return;
  }
  if (baskets) {
    print_baskets(*baskets, *plan);
    return;
  }
  for (const materials::Purchase& purchase : plan->purchases) print_purchase(purchase, plan->system);
  std::cout << "To buy, enough in nine jobs of ten: " << to_text(total) << " " << plan->currency << "\n";
}

}  // namespace

void add_buy(CLI::App& app, Context& context) {
  auto buy = std::make_shared<BuyCommand>();
  CLI::App* sub = app.add_subcommand("buy", "What to get for a job: packs at least cost, after what is on the shelf");
  sub->add_option("job", buy->job, "the job file (TOML)");
  sub->add_option("--data", buy->data, "in place of a job file: FILE.db, or postgresql://user@host/database");
  sub->add_option("--csv", buy->csv, "also write the shopping list to this file");
  sub->add_option("--sellers", buy->sellers, "price list of several sellers (TOML): where to buy what, with delivery");
  sub->add_flag("--json", buy->json, "one JSON object instead of text");
  add_plan_options(*sub, buy->args);
  sub->callback([buy, &context] { run_buy(*buy, context); });
}

}  // namespace tackcloth::cli
