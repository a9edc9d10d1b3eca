#include "cli/offer_of.h"

#include <tuple>

#include "cli/arguments.h"

namespace tackcloth::cli {

using materials::Ask;
using nlohmann::ordered_json;

void add_offer_options(CLI::App& command, OfferArgs& args) {
  auto* market = command.add_option("--market", args.market, "what a buyer pays in all, tax included: 480.00");
  command.add_option("--earn", args.earn, "what an hour of work is to earn: 45.00")->excludes(market);
  command.add_option("--deposit", args.deposit, "30% or 150.00; left out: as in the job file");
}

Result<materials::Offer> offer_of(const job::Job& job, const plan::Plan& plan, std::size_t piece,
                                  const OfferArgs& args) {
  const job::Shop& shop = job.shop;
  const materials::Price& price = plan.pieces[piece].price;
  const materials::Costs costs{price.materials,
                               price.hours,
                               shop.hourly_rate,
                               shop.overhead_percent,
                               shop.profit_percent,
                               shop.tax_percent,
                               job::waste_fees(shop, job.pieces[piece])};
  Ask ask;
  for (const auto& [option, text, from] : {std::tuple("--market", &args.market, Ask::From::market),
                                           std::tuple("--earn", &args.earn, Ask::From::earning)}) {
    if (text->empty()) continue;
    const auto amount = parse_money(*text);
    if (!amount) return tl::unexpected(about(option, amount.error()));
    ask = {from, *amount};
  }
  materials::Deposit deposit = shop.deposit;
  if (!args.deposit.empty()) {
    const auto read = materials::parse_deposit(args.deposit);
    if (!read) return tl::unexpected(about("--deposit", read.error()));
    deposit = *read;
  }
  return materials::offer(costs, ask, deposit);
}

ordered_json offer_json(const materials::Offer& offer) {
  ordered_json fees = ordered_json::array();
  for (const materials::Fee& fee : offer.waste_fees)
    fees.push_back({{"what", fee.what}, {"amount", to_text(fee.amount)}});
  return {{"from", materials::to_text(offer.from)},
          {"hours", offer.minutes / 60.0},
          {"materials", to_text(offer.materials)},
          {"labour", to_text(offer.work)},
          {"overhead", to_text(offer.overhead)},
          {"profit", to_text(offer.profit)},
          {"waste_fees", fees},
          {"net", to_text(offer.net)},
          {"tax", to_text(offer.tax)},
          {"total", to_text(offer.total)},
          {"deposit", to_text(offer.deposit)},
          {"balance", to_text(offer.balance)},
          {"earned", to_text(offer.earned)},
          {"per_hour", offer.per_hour ? ordered_json(to_text(*offer.per_hour)) : ordered_json(nullptr)},
          {"break_even", to_text(offer.break_even)}};
}

}  // namespace tackcloth::cli
