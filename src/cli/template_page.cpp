#include "cli/template_page.h"

#include "cli/clock.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "cli/query_values.h"
#include "shape/stencil.h"
#include "sheet/stencil_sheet.h"

namespace tackcloth::cli {

Result<service::Asset> template_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                     const Context& context) {
  auto values = query_values(query, {"paper", "stencil", "language"});
  if (!values) return tl::unexpected(values.error());
  const std::string paper = (*values)["paper"];
  if (const auto known = check_paper(paper); !known) return tl::unexpected(known.error());
  const auto read = job_of_store(ledger, context, job::Pieces::needed);
  if (!read) return tl::unexpected(read.error());
  auto zone = sheet::zone_template(read->job, about);
  const bool stencil = values->count("stencil") > 0;
  if (zone && stencil) zone = sheet::as_stencil(std::move(*zone), shape::kUsualBridgeMm);
  if (!zone) return tl::unexpected(zone.error());
  const auto tongue = tongue_of((*values)["language"], context);
  if (!tongue) return tl::unexpected(tongue.error());
  auto pages = sheet::template_pdf(*zone, paper_of(paper, zone->system), wall_clock(), *tongue);
  if (!pages) return tl::unexpected(pages.error());
  return service::Asset{"application/pdf", std::move(pages->pdf), about + (stencil ? "-stencil.pdf" : ".pdf")};
}

}  // namespace tackcloth::cli
