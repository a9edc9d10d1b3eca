#include "cli/template_page.h"

#include "cli/clock.h"
#include "cli/job_of.h"
#include "cli/paper.h"

namespace tackcloth::cli {

Result<service::Asset> template_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                     const Context& context) {
  std::string paper;
  if (!query.empty()) {
    paper = query.starts_with("paper=") ? query.substr(6) : query;
    if (paper != "a4" && paper != "letter")
      return tl::unexpected(Problem{"", 0, 0, "there is no such paper", "?paper=a4 or ?paper=letter", "take one"});
  }
  const auto read = job_of_store(ledger, context, job::Pieces::needed);
  if (!read) return tl::unexpected(read.error());
  const auto zone = sheet::zone_template(read->job, about);
  if (!zone) return tl::unexpected(zone.error());
  auto pages = sheet::template_pdf(*zone, paper_of(paper, zone->system), wall_clock());
  if (!pages) return tl::unexpected(pages.error());
  return service::Asset{"application/pdf", std::move(pages->pdf), about + ".pdf"};
}

}  // namespace tackcloth::cli
