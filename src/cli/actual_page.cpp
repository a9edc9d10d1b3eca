#include "cli/actual_page.h"

#include <charconv>
#include <set>

#include "cli/actual_json.h"
#include "cli/paper.h"
#include "cli/query_values.h"
#include "cli/stored_actuals.h"
#include "sheet/year_files.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

constexpr int kFirstYear = 1900, kLastYear = 2200;  // as the command has it

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

service::Asset page_of(const ordered_json& json) {
  return {"application/json", json.dump(-1, ' ', false, ordered_json::error_handler_t::replace) + "\n", ""};
}

std::optional<int> year_in(const std::string& text) {
  int year = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), year);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size() || year < kFirstYear || year > kLastYear)
    return {};
  return year;
}

}  // namespace

Result<service::Asset> actual_page(ledger::Ledger& ledger, const std::string& query, const Context& context) {
  auto values = query_values(query, {"piece"});
  if (!values) return tl::unexpected(values.error());
  const auto stored = stored_actuals(ledger, context);
  if (!stored) return tl::unexpected(stored.error().front());
  const std::string& asked = (*values)["piece"];
  ordered_json pieces = ordered_json::array();
  for (const plan::PieceActual& piece : stored->pieces)
    if (asked.empty() || piece.id == asked) pieces.push_back(actual_json(piece));
  if (pieces.empty() && !asked.empty())
    return wrong("there is no piece '" + asked.substr(0, 60) + "' in this plan", "the id of a piece",
                 "look it up in the job, or wait for the next plan");
  return page_of({{"currency", stored->currency}, {"pieces", std::move(pieces)}});
}

Result<service::Asset> year_page(ledger::Ledger& ledger, const std::string& query, const std::string& now,
                                 const Context& context) {
  auto values = query_values(query, {"year", "as", "language"});
  if (!values) return tl::unexpected(values.error());
  const std::string& as = (*values)["as"];
  if (!as.empty() && as != "csv" && as != "ods")
    return wrong("the year is not written as '" + as.substr(0, 60) + "'", "as=csv or as=ods", "take one");
  const auto asked = year_in((*values)["year"].empty() ? now.substr(0, 4) : (*values)["year"]);
  if (!asked) return wrong("that is no year", "four digits, 1900 to 2200", "mend 'year'");
  const auto stored = stored_actuals(ledger, context);
  if (!stored) return tl::unexpected(stored.error().front());
  const plan::Year year = year_told(*stored, *asked);
  const std::string file = "year-" + std::to_string(*asked);
  if (as == "csv") return service::Asset{"text/csv; charset=utf-8", sheet::year_csv(year), file + ".csv"};
  if (as == "ods") {
    const auto tongue = tongue_of((*values)["language"], context);
    if (!tongue) return tl::unexpected(tongue.error());
    auto bytes = sheet::year_ods(year, *tongue);
    if (!bytes) return tl::unexpected(bytes.error());
    return service::Asset{"application/vnd.oasis.opendocument.spreadsheet", std::move(*bytes), file + ".ods"};
  }
  ordered_json json = year_json(year);
  std::set<int> years;  // with something handed over
  for (const plan::PieceActual& piece : stored->pieces)
    if (piece.handed_over)
      years.insert(static_cast<int>(
          std::chrono::year_month_day(std::chrono::floor<std::chrono::days>(*piece.handed_over)).year()));
  json["years"] = years;
  return page_of(json);
}

}  // namespace tackcloth::cli
