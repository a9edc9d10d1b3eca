// buy: what to get for a job, once. quote: what each piece costs its owner, and why.
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_job.h"
#include "sheet/sheet.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct BuyCommand {
  std::string job, csv;
  PlanArgs args;
  bool json = false;
};

std::string amount(double value, const std::string& unit, units::System system) {
  if (unit == "l") return units::format_volume(value, system);
  if (unit == "m") return units::format_length(value * 1000, system);
  if (unit == "m2") return units::format_area(value, system);
  char text[48];
  std::snprintf(text, sizeof text, "%.4g %s", value, unit.c_str());
  return text;
}

void print_purchase(const materials::Purchase& purchase, units::System system) {
  std::cout << purchase.name << ": needs " << amount(purchase.need, purchase.unit, system);
  if (purchase.from_shelf > 0)
    std::cout << ", " << amount(purchase.from_shelf, purchase.unit, system) << " on the shelf";
  std::cout << "\n";
  for (const auto& line : purchase.lines)
    std::cout << "    " << line.count << " x " << amount(line.pack, purchase.unit, system) << " at "
              << to_text(line.each) << " = " << to_text(line.total) << "\n";
  if (purchase.left_over > 0 && !purchase.lines.empty())
    std::cout << "    left over: " << amount(purchase.left_over, purchase.unit, system) << "\n";
  if (!purchase.lines.empty() && !purchase.optimal)
    std::cout << "    enough, but not proven to be the cheapest choice of packs\n";
  if (!purchase.note.empty()) std::cout << "    " << purchase.note << "\n";
}

void run_buy(BuyCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  const auto plan = plan_job(command.job, command.args, context);
  if (!plan) {
    context.exit_code = report(plan.error());
    return;
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
    std::cout << ordered_json{{"purchases", whole.at("purchases")},
                              {"total", to_text(total)},
                              {"currency", plan->currency}}
                     .dump(2)
              << "\n";
    return;
  }
  for (const materials::Purchase& purchase : plan->purchases) print_purchase(purchase, plan->system);
  std::cout << "To buy, enough in nine jobs of ten: " << to_text(total) << " " << plan->currency << "\n";
}

void print_price(const std::string& title, const materials::Price& price, const std::string& currency) {
  char text[320];
  std::snprintf(
      text, sizeof text,
      "%s\n    materials %12s\n    labour    %12s  (%s)\n    overhead  %12s\n    profit    %12s\n    tax       %12s\n"
      "    total     %12s %s\n",
      title.substr(0, 80).c_str(), to_text(price.materials).c_str(), to_text(price.labour).c_str(),
      units::format_hours(price.hours).c_str(), to_text(price.overhead).c_str(), to_text(price.profit).c_str(),
      to_text(price.tax).c_str(), to_text(price.total).c_str(), currency.c_str());
  std::cout << text;
}

void run_quote(BuyCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  const auto plan = plan_job(command.job, command.args, context);
  if (!plan) {
    context.exit_code = report(plan.error());
    return;
  }
  // A quote for work that must not be done as it stands is still shown, with the exit code that says so.
  context.exit_code = plan->must_not() ? must_not : fine;
  if (command.json) {
    const auto whole = ordered_json::parse(plan::to_json(*plan));
    ordered_json pieces = ordered_json::array();
    for (const auto& piece : whole.at("pieces"))
      pieces.push_back({{"id", piece.at("id")},
                        {"name", piece.at("name")},
                        {"owner", piece.at("owner")},
                        {"price", piece.at("price")}});
    std::cout << ordered_json{{"pieces", pieces}, {"cost", whole.at("cost")}, {"currency", plan->currency}}.dump(2)
              << "\n";
    return;
  }
  for (const plan::PlannedPiece& piece : plan->pieces)
    print_price(piece.name + (piece.owner.empty() ? "" : ", for " + piece.owner), piece.price, plan->currency);
  if (plan->pieces.size() > 1) print_price("All pieces", plan->cost, plan->currency);
  if (plan->must_not()) std::cout << "Something in this plan must not be done as it stands: see `tackcloth check`.\n";
}

}  // namespace

void add_buy(CLI::App& app, Context& context) {
  auto buy = std::make_shared<BuyCommand>();
  CLI::App* sub = app.add_subcommand("buy", "What to get for a job: packs at least cost, after what is on the shelf");
  sub->add_option("job", buy->job, "the job file (TOML)")->required();
  sub->add_option("--csv", buy->csv, "also write the shopping list to this file");
  sub->add_flag("--json", buy->json, "one JSON object instead of text");
  add_plan_options(*sub, buy->args);
  sub->callback([buy, &context] { run_buy(*buy, context); });

  auto quote = std::make_shared<BuyCommand>();
  CLI::App* second = app.add_subcommand("quote", "Price of each piece: materials, labour, overhead, profit, tax");
  second->add_option("job", quote->job, "the job file (TOML)")->required();
  second->add_flag("--json", quote->json, "one JSON object instead of text");
  add_plan_options(*second, quote->args);
  second->callback([quote, &context] { run_quote(*quote, context); });
}

}  // namespace tackcloth::cli
