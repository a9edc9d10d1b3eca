#include "cli/pin_page.h"

#include <nlohmann/json.hpp>

namespace tackcloth::cli {

using nlohmann::json;

Result<std::string> pin_asked(ledger::Ledger& ledger, const std::string& asked, const std::string& now,
                              const Context& context) {
  const json read = json::parse(asked);
  const auto hour = [](const json& value) -> std::optional<Instant> {
    if (!value.is_string()) return {};
    const auto instant = parse_instant(value.get<std::string>());
    return instant ? std::optional(*instant) : std::nullopt;
  };
  PinAsked pin{read.at("step").get<std::string>(), hour(read.at("start")), {}};
  if (read.contains("seen")) pin.seen = hour(read.at("seen"));
  auto body = pin_body(ledger, pin, now, context);
  if (!body) return tl::unexpected(body.error().front());
  return std::move(*body);
}

}  // namespace tackcloth::cli
