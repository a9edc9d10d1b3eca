// quote: what a piece costs its owner, and why; what it then pays for an hour of work; the papers for it.
#include <fmt/format.h>

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/offer_of.h"
#include "cli/paper.h"
#include "cli/plan_job.h"
#include "cli/problems.h"
#include "plan/pace_log.h"
#include "sheet/bill.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

struct QuoteCommand {
  std::string job, piece, valid_until, date, file, paper, language, invoice, paid;
  OfferArgs offer;
  PlanArgs args;
  bool json = false;
};

// What was asked for, read and checked before anything is planned.
struct Wanted {
  Instant date;
  std::optional<Instant> valid_until;
  std::optional<Money> paid;
};

Result<Wanted> wanted_of(const QuoteCommand& command) {
  Wanted wanted;
  wanted.date = wall_clock();
  if (!command.date.empty()) {
    const auto date = parse_instant(command.date);
    if (!date) return tl::unexpected(date.error());
    wanted.date = *date;
  }
  if (!command.valid_until.empty()) {
    const auto until = parse_instant(command.valid_until);
    if (!until) return tl::unexpected(until.error());
    if (*until < std::chrono::floor<std::chrono::days>(wanted.date))
      return tl::unexpected(problem_of("--valid-until is before the date of the quote", "a later day",
                                       "give a later day, or --date for an older quote"));
    wanted.valid_until = *until;
  }
  if (!command.paid.empty()) {
    if (command.invoice.empty())
      return tl::unexpected(problem_of("--paid is for an invoice", "--invoice NUMBER beside it", "add the number"));
    const auto paid = parse_money(command.paid);
    if (!paid) return tl::unexpected(paid.error());
    if (paid->minor < 0)
      return tl::unexpected(problem_of("--paid is below zero", "money from 0 on", "check the figure"));
    wanted.paid = *paid;
  }
  return wanted;
}

void print_offer(const plan::Plan& plan, const plan::PlannedPiece& piece, const materials::Offer& offer,
                 const Wanted& wanted) {
  const std::string& currency = plan.currency;
  const auto line = [](const std::string& what, Money amount, const std::string& note = "") {
    std::cout << fmt::format("    {:<24} {:>12}{}\n", what.substr(0, 60), to_text(amount), note);
  };
  std::cout << piece.name << (piece.owner.empty() ? "" : ", for " + piece.owner) << "\n";
  line("materials", offer.materials);
  line("labour", offer.work, "  (" + sheet::hours_words(offer.minutes) + ")");
  for (const plan::LearnedPace& pace : plan::paces_used(plan.taught.pace, piece))
    std::cout << "        your pace, " << pace.kind << ": " << plan::pace_words(pace) << "\n";
  line("overhead", offer.overhead);
  if (offer.from == materials::Ask::From::cost) line("profit", offer.profit);
  for (const materials::Fee& fee : offer.waste_fees) line("waste: " + fee.what, fee.amount);
  line("tax", offer.tax);
  line("total", offer.total, " " + currency);
  if (offer.deposit.minor > 0) {
    line("deposit", offer.deposit);
    line("balance", offer.balance);
  }
  if (wanted.paid) {
    line("paid", *wanted.paid);
    line(*wanted.paid > offer.total ? "to be paid back" : "to pay",
         *wanted.paid > offer.total ? *wanted.paid - offer.total : offer.total - *wanted.paid);
  }
  std::cout << fmt::format("    After materials, overhead, waste fees and tax {} {} is left", to_text(offer.earned),
                           currency);
  if (offer.per_hour) std::cout << ": " << to_text(*offer.per_hour) << " for an hour of work";
  std::cout << ".\n    Nothing is left at " << to_text(offer.break_even) << " " << currency << ".\n";
  if (offer.earned.minor < 0) std::cout << "    At this price the piece costs the shop money.\n";
}

ordered_json json_of(const plan::Plan& plan, const plan::PlannedPiece& piece, const ordered_json& price,
                     const materials::Offer& offer) {
  ordered_json paces = ordered_json::array();
  for (const plan::LearnedPace& pace : plan::paces_used(plan.taught.pace, piece))
    paces.push_back({{"kind", pace.kind},
                     {"entries", pace.entries},
                     {"factor", pace.factor},
                     {"low", pace.low},
                     {"high", pace.high}});
  double table_hours = 0;
  for (const plan::PlannedStep& step : piece.schedule) table_hours += step.table_minutes / 60 * step.people;
  return {{"id", piece.id},    {"name", piece.name},         {"owner", piece.owner},      {"price", price},
          {"own_pace", paces}, {"table_hours", table_hours}, {"offer", offer_json(offer)}};
}

Result<void> write_bill(const QuoteCommand& command, const Wanted& wanted, const Planned& planned, std::size_t p,
                        const materials::Offer& offer, const sheet::Tongue& tongue) {
  sheet::Bill bill = sheet::bill_of(planned.job, planned.job.pieces[p], planned.plan, planned.plan.pieces[p], offer,
                                    wanted.date, tongue);
  bill.valid_until = wanted.valid_until;
  bill.number = command.invoice;
  bill.paid = wanted.paid;
  const sheet::Paper paper = paper_of(command.paper, planned.job.shop.system);
  const auto pdf = command.invoice.empty() ? sheet::quote_pdf(bill, paper, wanted.date)
                                           : sheet::invoice_pdf(bill, paper, wanted.date);
  if (!pdf) return tl::unexpected(pdf.error());
  return sheet::write_file(command.file, *pdf);
}

Results<void> quote(QuoteCommand& command, Context& context) {
  const auto wanted = wanted_of(command);
  if (!wanted) return one(wanted.error());
  const auto tongue = tongue_of(command.language, context);
  if (!tongue) return one(tongue.error());
  command.args.asked_at = to_iso(wall_clock());
  const auto planned = planned_job(command.job, command.args, context);
  if (!planned) return tl::unexpected(planned.error());
  const auto asked = pieces_asked(*planned, command.piece);
  if (!asked) return one(asked.error());
  const bool for_one = !command.offer.market.empty() || !command.invoice.empty() || !command.file.empty();
  if (for_one && asked->size() != 1)
    return one(problem_of(
        "a market price, a quote or an invoice is for one piece, and this job has " + std::to_string(asked->size()),
        "--piece ID", "name the piece"));
  if (!command.invoice.empty() && command.file.empty())
    return one(problem_of("an invoice is a paper", "--out FILE.pdf beside --invoice", "say where it goes"));

  const plan::Plan& plan = planned->plan;
  const auto whole = ordered_json::parse(plan::to_json(plan));
  ordered_json pieces = ordered_json::array();
  Money total;
  for (const std::size_t p : *asked) {
    const auto offer = offer_of(planned->job, plan, p, command.offer);
    if (!offer) return one(offer.error());
    total += offer->total;
    if (!command.file.empty()) {
      if (const auto written = write_bill(command, *wanted, *planned, p, *offer, *tongue); !written)
        return one(written.error());
      std::cerr << "wrote " << command.file << "\n";
    }
    if (command.json)
      pieces.push_back(json_of(plan, plan.pieces[p], whole.at("pieces").at(p).at("price"), *offer));
    else
      print_offer(plan, plan.pieces[p], *offer, *wanted);
  }
  // A quote for work that must not be done as it stands is still shown, with the exit code that says so.
  context.exit_code = plan.must_not() ? must_not : fine;
  if (command.json) {
    std::cout << ordered_json{{"pieces", pieces}, {"cost", whole.at("cost")}, {"currency", plan.currency}}.dump(2)
              << "\n";
    return {};
  }
  if (asked->size() > 1) std::cout << "All pieces: " << to_text(total) << " " << plan.currency << "\n";
  if (plan.must_not()) std::cout << "Something in this plan must not be done as it stands: see `tackcloth check`.\n";
  return {};
}

}  // namespace

void add_quote(CLI::App& app, Context& context) {
  auto command = std::make_shared<QuoteCommand>();
  CLI::App* sub =
      app.add_subcommand("quote", "Price of a piece from cost, earning or market; what it pays; quote and invoice");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_option("--piece", command->piece, "id of the piece; left out: all");
  add_offer_options(*sub, command->offer);
  sub->add_option("-o,--out", command->file, "write the quote, or with --invoice the invoice, to this PDF");
  sub->add_option("--paper", command->paper, "a4 or letter; left out: as the shop measures")
      ->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_option("--valid-until", command->valid_until, "last day of the quote, 2027-05-01");
  sub->add_option("--date", command->date, "date of the paper; left out: today");
  sub->add_option("--invoice", command->invoice, "number of the invoice; makes the PDF an invoice");
  sub->add_option("--paid", command->paid, "what was paid already");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] {
    if (const auto done = quote(*command, context); !done) context.exit_code = report(done.error());
  });
}

}  // namespace tackcloth::cli
