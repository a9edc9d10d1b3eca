#include "cli/paper_page.h"

#include <algorithm>

#include "cli/clock.h"
#include "cli/job_of.h"
#include "cli/offer_of.h"
#include "cli/paper.h"
#include "cli/query_values.h"
#include "picture/photo.h"
#include "sheet/bill.h"
#include "sheet/hand_over.h"
#include "sheet/template.h"

namespace tackcloth::cli {
namespace {

using Values = std::map<std::string, std::string>;

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

// The stored job and plan, both with this piece alone.
struct OnePiece {
  job::Job job;
  plan::Plan plan;
  std::shared_ptr<const catalog::Catalog> catalog;
};
Result<OnePiece> one_piece(ledger::Ledger& ledger, const std::string& id, const Context& context) {
  auto stored = job_of_store(ledger, context);
  if (!stored) return tl::unexpected(stored.error());
  const auto latest = ledger.latest_plan();
  if (!latest) return tl::unexpected(latest.error());
  if (!latest->has_value()) return wrong("there is no plan yet", "a plan with this piece", "plan the job first");
  auto plan = plan::from_json((*latest)->plan_json);
  if (!plan) return tl::unexpected(plan.error());
  const auto order = std::find_if(stored->job.pieces.begin(), stored->job.pieces.end(),
                                  [&](const job::PieceOrder& one) { return one.piece.id == id; });
  const auto planned = std::find_if(plan->pieces.begin(), plan->pieces.end(),
                                    [&](const plan::PlannedPiece& one) { return one.id == id; });
  if (order == stored->job.pieces.end() || planned == plan->pieces.end())
    return wrong("there is no piece '" + id.substr(0, 60) + "' in this plan", "the id of a piece",
                 "look it up in the job, or wait for the next plan");
  const job::PieceOrder piece = *order;
  const plan::PlannedPiece steps = *planned;
  stored->job.pieces = {piece};
  plan->pieces = {steps};
  return OnePiece{std::move(stored->job), std::move(*plan), std::move(stored->catalog)};
}

OfferArgs offer_args(Values& values) { return {values["market"], values["earn"], values["deposit"]}; }

Result<materials::Offer> offer_asked(const OnePiece& one, Values& values) {
  if (!values["market"].empty() && !values["earn"].empty())
    return wrong("a market price and an earning are given", "one of them", "leave one empty");
  return offer_of(one.job, one.plan, 0, offer_args(values));
}

bool has_photo(const job::PieceOrder& order, const std::string& id) {
  return std::any_of(order.photos.begin(), order.photos.end(), [&](const job::Photo& p) { return p.id == id; });
}

Result<picture::Image> photo_of(ledger::Ledger& ledger, const StoredPhotos& photos, const OnePiece& one,
                                const std::string& id) {
  for (const job::Photo& photo : one.job.pieces[0].photos) {
    if (photo.id != id) continue;
    std::filesystem::path path = std::filesystem::path(one.job.file).parent_path() / photo.file;
    if (photo.file.starts_with("stored:")) {
      const auto file = photos.file(ledger, photo.file.substr(7));
      if (!file) return tl::unexpected(file.error());
      path = *file;
    }
    auto loaded = picture::load(path);
    if (!loaded) return tl::unexpected(loaded.error());
    return std::move(loaded->image);
  }
  return wrong("there is no photo '" + id.substr(0, 60) + "' of this piece", "a photo before the work and one after it",
               "add it to the piece with this name, or name another");
}

Result<std::string> bill_bytes(const OnePiece& one, Values& values, bool invoice, sheet::Paper paper, Instant now,
                               const sheet::Tongue& tongue) {
  const auto offer = offer_asked(one, values);
  if (!offer) return tl::unexpected(offer.error());
  sheet::Bill bill = sheet::bill_of(one.job, one.job.pieces[0], one.plan, one.plan.pieces[0], *offer, now, tongue);
  if (!invoice) {
    if (!values["until"].empty()) {
      const auto until = parse_instant(values["until"]);
      if (!until) return tl::unexpected(until.error());
      if (*until < std::chrono::floor<std::chrono::days>(now))
        return wrong("the last day of the quote is over", "a day from today on", "give a later day");
      bill.valid_until = *until;
    }
    return sheet::quote_pdf(bill, paper, now);
  }
  bill.number = values["number"];
  if (bill.number.size() > 60) return wrong("the number is too long", "at most 60 bytes", "shorten it");
  if (!values["paid"].empty()) {
    const auto paid = parse_money(values["paid"]);
    if (!paid) return tl::unexpected(paid.error());
    bill.paid = *paid;
  }
  return sheet::invoice_pdf(bill, paper, now);
}

Result<std::string> bytes_of(ledger::Ledger& ledger, const StoredPhotos& photos, const OnePiece& one,
                             const std::string& kind, Values& values, const sheet::Tongue& tongue) {
  const Instant now = wall_clock();
  const sheet::Paper paper = paper_of(values["paper"], one.job.shop.system);
  if (kind == "job-sheet") return sheet::job_sheet_pdf(one.plan, paper, now, tongue);
  if (kind == "quote" || kind == "invoice") return bill_bytes(one, values, kind == "invoice", paper, now, tongue);
  const sheet::Forms forms = sheet::forms_of(one.job.shop, tongue);
  if (kind == "care-card") return sheet::care_card_pdf(one.plan, one.plan.pieces[0], forms, paper, now);
  if (kind == "safety-sheet")
    return sheet::safety_sheet_pdf(one.plan, one.plan.pieces[0], *one.catalog, paper, now, tongue);
  if (kind == "portfolio") {
    const auto before = photo_of(ledger, photos, one, values["before"].empty() ? "before" : values["before"]);
    if (!before) return tl::unexpected(before.error());
    const auto after = photo_of(ledger, photos, one, values["after"].empty() ? "after" : values["after"]);
    if (!after) return tl::unexpected(after.error());
    return sheet::portfolio_pdf(
        {one.job.shop.name, one.plan.pieces[0].name, sheet::work_words(one.plan.pieces[0], tongue), &*before, &*after},
        paper, now, tongue);
  }
  return wrong("there is no paper '" + kind.substr(0, 60) + "'",
               "job-sheet, quote, invoice, care-card, safety-sheet or portfolio", "take one of these");
}

}  // namespace

Result<service::Asset> paper_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& about,
                                  const std::string& query, const Context& context) {
  auto values = query_values(
      query, {"paper", "market", "earn", "deposit", "until", "number", "paid", "before", "after", "language"});
  if (!values) return tl::unexpected(values.error());
  if (const auto known = check_paper((*values)["paper"]); !known) return tl::unexpected(known.error());
  const std::size_t slash = about.find('/');
  if (slash == std::string::npos || !about.ends_with(".pdf"))
    return wrong("this is the address of no paper", "PIECE/quote.pdf and the like", "take the link on the page");
  const auto tongue = tongue_of((*values)["language"], context);
  if (!tongue) return tl::unexpected(tongue.error());
  const auto one = one_piece(ledger, about.substr(0, slash), context);
  if (!one) return tl::unexpected(one.error());
  auto bytes = bytes_of(ledger, photos, *one, about.substr(slash + 1, about.size() - slash - 5), *values, *tongue);
  if (!bytes) return tl::unexpected(bytes.error());
  return service::Asset{"application/pdf", std::move(*bytes), ""};
}

Result<service::Asset> offer_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                  const Context& context) {
  auto values = query_values(query, {"market", "earn", "deposit"});
  if (!values) return tl::unexpected(values.error());
  const auto one = one_piece(ledger, about, context);
  if (!one) return tl::unexpected(one.error());
  const auto offer = offer_asked(*one, *values);
  if (!offer) return tl::unexpected(offer.error());
  const job::PieceOrder& order = one->job.pieces[0];
  nlohmann::ordered_json zones = nlohmann::ordered_json::array();
  for (const piece::Part& part : order.piece.parts)
    for (const piece::Zone& zone : part.zones) {
      if (zone.form == piece::ZoneForm::whole || zone.form == piece::ZoneForm::rest) continue;
      const std::string name = order.piece.id + "/" + part.id + "/" + zone.id;
      if (sheet::zone_template(one->job, name)) zones.push_back(name);
    }
  const nlohmann::ordered_json json = {{"currency", one->job.shop.currency},
                                       {"offer", offer_json(*offer)},
                                       {"zones", zones},
                                       {"portfolio", has_photo(order, "before") && has_photo(order, "after")}};
  return service::Asset{"application/json", json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n",
                        ""};
}

}  // namespace tackcloth::cli
