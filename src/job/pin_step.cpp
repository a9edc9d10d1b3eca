#include "job/pin_step.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "job/changes.h"
#include "units/time.h"

namespace tackcloth::job {

using nlohmann::json;
using nlohmann::ordered_json;

Result<PinStep> read_pin_step(std::string_view text) {
  const auto wrong = [](std::string what, std::string expected) {
    return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), "send it to /api/pin"});
  };
  const json body = json::parse(text, nullptr, false);
  for (const auto& [name, value] : body.items())
    if (name != "pin" && name != "mark" && name != "start" && name != "beside")
      return wrong("unknown field '" + name + "' in a pin", "pin, mark, start, beside");
  PinStep pin;
  if (!body.contains("pin") || !body["pin"].is_string() || body["pin"].get_ref<const std::string&>().empty() ||
      body["pin"].get_ref<const std::string&>().size() > 100)
    return wrong("'pin' is missing or too long", "the id of a step");
  pin.step = body["pin"].get<std::string>();
  if (!body.contains("mark") || !body["mark"].is_object() || !body["mark"].contains("piece") ||
      !body["mark"]["piece"].is_string())
    return wrong("'mark' is missing", "what the step is");
  pin.mark = body["mark"].dump(-1, ' ', false, json::error_handler_t::replace);
  if (!body.contains("start")) return wrong("'start' is missing", "an hour, or null to let go");
  if (!body["start"].is_null()) {
    if (!body["start"].is_string()) return wrong("'start' is no hour", "local time such as 2026-03-04T17:30");
    const auto start = parse_instant(body["start"].get_ref<const std::string&>());
    if (!start) return tl::unexpected(start.error());
    pin.start = to_iso(*start);
  }
  if (body.contains("beside")) {
    if (!body["beside"].is_boolean()) return wrong("'beside' is no yes or no", "true or false");
    pin.beside = body["beside"].get<bool>();
  }
  return pin;
}

std::string to_json(const PinStep& pin) {
  ordered_json body = {{"pin", pin.step}, {"mark", ordered_json::parse(pin.mark, nullptr, false)}};
  body["start"] = pin.start.empty() ? ordered_json() : ordered_json(pin.start);
  if (pin.beside) body["beside"] = true;
  return body.dump(-1, ' ', false, json::error_handler_t::replace);
}

std::vector<PinStep> standing_pins(const std::vector<Change>& changes) {
  std::vector<PinStep> pins;
  const auto take = [&](const PinStep& pin) {
    std::erase_if(pins, [&](const PinStep& old) { return old.mark == pin.mark; });
    pins.push_back(pin);
  };
  for (const Change& change : changes) {
    if (!change.stands) continue;
    if (change.pin && !change.pin->beside) take(*change.pin);
    if (change.chooses.empty()) continue;
    const auto named =
        std::find_if(changes.begin(), changes.end(), [&](const Change& one) { return one.key == change.chooses; });
    if (named != changes.end() && named->pin && named->stands) take(*named->pin);
  }
  return pins;
}

}  // namespace tackcloth::job
