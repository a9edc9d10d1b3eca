#include "cli/worth_page.h"

#include <charconv>

#include "cli/clock.h"
#include "cli/query_values.h"
#include "cli/stored_plan.h"
#include "cli/worth_asked.h"

namespace tackcloth::cli {
namespace {

Result<std::string> answer(ledger::Ledger& ledger, const std::string& query, const Context& context) {
  auto values = query_values(
      query, {"width", "height", "depth", "fronts", "damage", "year", "existing", "wanted", "market", "solid_wood"});
  if (!values) return tl::unexpected(values.error());
  WorthAsked asked{(*values)["width"],
                   (*values)["height"],
                   (*values)["depth"],
                   (*values)["damage"],
                   (*values)["year"],
                   (*values)["existing"],
                   (*values)["wanted"],
                   (*values)["market"],
                   -1,
                   false};
  asked.solid = (*values)["solid_wood"] == "yes";
  if (const std::string& text = (*values)["fronts"]; !text.empty()) {
    const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), asked.fronts);
    if (error != std::errc() || stop != text.data() + text.size() || asked.fronts < 0 || asked.fronts > 60)
      return tl::unexpected(
          Problem{"", 0, 0, "the number of drawers and doors cannot be", "0 to 60", "count them again"});
  }
  const auto read = candidate_of(asked, "");
  if (!read) return tl::unexpected(read.error().front());
  auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  standing->args.asked_at = to_iso(wall_clock());
  const auto shop = shop_text(standing->toml, standing->name, standing->args, context);
  if (!shop) return tl::unexpected(shop.error().front());
  const auto judged = plan::worth_of(read->candidate, shop->job.shop, shop->world, shop->options, read->market);
  if (!judged) return tl::unexpected(judged.error().front());
  return worth_json(*judged, shop->job.shop).dump();
}

}  // namespace

service::MadeFile worth_page(const Context& context) {
  return [&context](ledger::Ledger& ledger, const std::string&, const std::string& query) -> Result<service::Asset> {
    auto json = answer(ledger, query, context);
    if (!json) return tl::unexpected(json.error());
    return service::Asset{"application/json", std::move(*json), ""};
  };
}

}  // namespace tackcloth::cli
