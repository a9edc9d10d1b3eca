#include "look/changes.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace tackcloth::look {

namespace {

using nlohmann::json;

constexpr std::size_t kLongest = 16384, kMostKeys = 40, kLongestText = 2000;
constexpr std::size_t kLongestSwatch = 160'000;  // a small picture as a data URL
constexpr std::size_t kMostCorners = 500;

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

Result<std::string> name_of(const json& body, const char* key) {
  if (!body.contains(key) || !body[key].is_string() || body[key].get_ref<const std::string&>().empty() ||
      body[key].get_ref<const std::string&>().size() > 100)
    return wrong(std::string("'") + key + "' is missing or too long", "the id of a " + std::string(key),
                 "take it from the plan");
  return body[key].get<std::string>();
}

// Corners of an outline or points of a line: short lists of numbers, millimetres.
std::optional<job::EditRows> rows_of(const json& value) {
  if (!value.is_array() || value.empty() || value.size() > kMostCorners) return {};
  job::EditRows rows;
  for (const auto& item : value) {
    if (!item.is_array() || item.empty() || item.size() > 3) return {};
    rows.emplace_back();
    for (const auto& number : item) {
      if (!number.is_number() || !std::isfinite(number.get<double>())) return {};
      rows.back().push_back(number.get<double>());
    }
  }
  return rows;
}

}  // namespace

Result<Change> read_change(const std::string& key, const std::string& when, std::string_view text) {
  if (text.size() > kLongest + kLongestSwatch)
    return wrong("the change is too long", "at most 16 KiB, and a swatch of 120 kB", "make it in smaller steps");
  const json body = json::parse(text, nullptr, false);
  if (!body.is_object()) return wrong("the change is not a JSON object", "{piece, part, zone, set}", "send one");
  Change change;
  change.key = key;
  change.when = when;
  if (body.contains("take_back")) {
    if (body.size() != 1 || !body["take_back"].is_string())
      return wrong("'take_back' stands with other things", "{\"take_back\": KEY}", "send it by itself");
    change.takes_back = body["take_back"].get<std::string>();
    if (change.takes_back.empty()) return wrong("'take_back' is empty", "the key of a change", "name it");
    return change;
  }
  const bool has_swatch = body.contains("set") && body["set"].is_object() && body["set"].contains("swatch");
  if (!has_swatch && text.size() > kLongest)
    return wrong("the change is too long", "at most 16 KiB", "make it in smaller steps");
  for (const auto& [name, value] : body.items()) {
    if (name != "piece" && name != "part" && name != "zone" && name != "set" && name != "remove")
      return wrong("unknown field '" + name + "'", "piece, part, zone, set, remove or take_back", "leave it out");
  }
  const auto piece = name_of(body, "piece"), part = name_of(body, "part"), zone = name_of(body, "zone");
  for (const auto* id : {&piece, &part, &zone}) {
    if (!*id) return tl::unexpected(id->error());
  }
  change.edit.piece = *piece;
  change.edit.part = *part;
  change.edit.zone = *zone;
  if (body.contains("remove")) {
    if (!body["remove"].is_boolean() || !body["remove"].get<bool>() || body.contains("set"))
      return wrong("'remove' stands with other things", "\"remove\": true without set", "send one or the other");
    change.edit.remove = true;
    return change;
  }
  if (!body.contains("set") || !body["set"].is_object() || body["set"].empty() || body["set"].size() > kMostKeys)
    return wrong("'set' is missing", "an object of keys and values", "say what changes");
  for (const auto& [name, value] : body["set"].items()) {
    if (name.empty() || name.size() > 60 || name == "id")
      return wrong("'" + name + "' cannot be set", "a key of a zone", "see docs/job-file.md");
    if (value.is_null()) {
      change.edit.set.emplace_back(name, std::monostate{});
    } else if (value.is_string() &&
               value.get_ref<const std::string&>().size() <= (name == "swatch" ? kLongestSwatch : kLongestText) &&
               value.get_ref<const std::string&>().find('\0') == std::string::npos) {
      change.edit.set.emplace_back(name, value.get<std::string>());
    } else if (value.is_number() && std::isfinite(value.get<double>())) {
      change.edit.set.emplace_back(name, value.get<double>());
    } else if (auto rows = rows_of(value)) {
      change.edit.set.emplace_back(name, std::move(*rows));
    } else {
      return wrong("the value of '" + name + "' cannot be taken", "a text, a number, rows of numbers or null",
                   "change it");
    }
  }
  return change;
}

Result<void> settle(std::vector<Change>& changes) {
  for (Change& change : changes) change.stands = true;
  // From the newest back: a take_back that stands strikes out what it names.
  for (auto later = changes.rbegin(); later != changes.rend(); ++later) {
    if (later->takes_back.empty()) continue;
    const auto named =
        std::find_if(std::next(later), changes.rend(), [&](const Change& c) { return c.key == later->takes_back; });
    if (named == changes.rend())
      return wrong("there is no earlier change '" + later->takes_back + "'", "the key of an earlier change",
                   "reload and try again");
    if (later->stands) named->stands = false;
  }
  return {};
}

std::vector<job::Edit> standing(const std::vector<Change>& changes) {
  std::vector<job::Edit> edits;
  for (const Change& change : changes) {
    if (change.stands && change.takes_back.empty()) edits.push_back(change.edit);
  }
  return edits;
}

}  // namespace tackcloth::look
