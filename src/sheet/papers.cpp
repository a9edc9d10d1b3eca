#include "sheet/papers.h"

#include "sheet/bill.h"
#include "sheet/template.h"

namespace tackcloth::sheet {
namespace {

bool is_drawn(const piece::Zone& zone) {
  return zone.form != piece::ZoneForm::whole && zone.form != piece::ZoneForm::rest &&
         zone.treatment != piece::Treatment::keep;
}

}  // namespace

Result<std::vector<PaperFile>> papers_of(const job::Job& job, const plan::Plan& plan, std::size_t piece,
                                         const materials::Offer& offer, const catalog::Catalog& catalog,
                                         const PapersAsked& asked) {
  const job::PieceOrder& order = job.pieces[piece];
  const plan::PlannedPiece& planned = plan.pieces[piece];
  const Forms forms = forms_of(job.shop, asked.tongue);
  std::vector<PaperFile> files;
  std::optional<Problem> problem;
  const auto add = [&](const std::string& name, Result<std::string> bytes) {
    if (bytes)
      files.push_back({name, std::move(*bytes)});
    else if (!problem)
      problem = bytes.error();
  };
  Bill bill = bill_of(job, order, plan, planned, offer, asked.date, asked.tongue);
  bill.valid_until = asked.valid_until;
  plan::Plan alone = plan;  // the sheet of this piece; what is bought is bought for all
  alone.pieces = {planned};
  add("job-sheet.pdf", job_sheet_pdf(alone, asked.paper, asked.date, asked.tongue));
  add("quote.pdf", quote_pdf(bill, asked.paper, asked.date));
  add("care-card.pdf", care_card_pdf(plan, planned, forms, asked.paper, asked.date));
  add("safety-sheet.pdf", safety_sheet_pdf(plan, planned, catalog, asked.paper, asked.date, asked.tongue));
  files.push_back({"calendar.ics", calendar_ics(alone, asked.date, asked.tongue)});
  files.push_back({"shopping.csv", shopping_csv(plan)});
  for (const piece::Part& part : order.piece.parts)
    for (const piece::Zone& zone : part.zones) {
      if (!is_drawn(zone)) continue;
      // A zone that goes round a leg has no flat template.
      const auto flat = zone_template(job, order.piece.id + "/" + part.id + "/" + zone.id);
      if (!flat) continue;
      auto pages = template_pdf(*flat, asked.paper, asked.date, asked.tongue);
      add("template-" + part.id + "-" + zone.id + ".pdf",
          pages ? Result<std::string>(std::move(pages->pdf)) : Result<std::string>(tl::unexpected(pages.error())));
    }
  if (asked.before.width > 0 && asked.after.width > 0)
    add("portfolio.pdf", portfolio_pdf({job.shop.name, bill.piece, bill.work, &asked.before, &asked.after}, asked.paper,
                                       asked.date, asked.tongue));
  if (problem) return tl::unexpected(*problem);
  return files;
}

}  // namespace tackcloth::sheet
