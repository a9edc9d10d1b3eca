#include "cli/template_page.h"

#include "cli/clock.h"

namespace tackcloth::cli {

sheet::Paper paper_of(const std::string& word, const sheet::ZoneTemplate& zone) {
  const bool letter = word.empty() ? zone.system == units::System::us : word == "letter";
  return letter ? sheet::Paper::letter : sheet::Paper::a4;
}

Result<service::Asset> template_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                     const Context& context) {
  std::string paper;
  if (!query.empty()) {
    paper = query.starts_with("paper=") ? query.substr(6) : query;
    if (paper != "a4" && paper != "letter")
      return tl::unexpected(Problem{"", 0, 0, "there is no such paper", "?paper=a4 or ?paper=letter", "take one"});
  }
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return tl::unexpected(catalog.error().front());
  const auto job = job::parse_job(standing->toml, standing->name, *catalog);
  if (!job) return tl::unexpected(job.error().front());
  const auto zone = sheet::zone_template(*job, about);
  if (!zone) return tl::unexpected(zone.error());
  auto pages = sheet::template_pdf(*zone, paper_of(paper, *zone), wall_clock());
  if (!pages) return tl::unexpected(pages.error());
  return service::Asset{"application/pdf", std::move(pages->pdf), about + ".pdf"};
}

}  // namespace tackcloth::cli
