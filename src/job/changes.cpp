#include "job/changes.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "job/refuse.h"

namespace tackcloth::job {

namespace {

using nlohmann::json;

constexpr std::size_t kLongestPut = 900'000, kLongestText = 2000;
constexpr std::size_t kLongestSwatch = 160'000;  // a small picture as a data URL
constexpr std::size_t kMostCorners = 500;

Result<std::string> id_of(const json& body, const char* key) {
  if (!body.contains(key) || !body[key].is_string() || body[key].get_ref<const std::string&>().empty() ||
      body[key].get_ref<const std::string&>().size() > 100)
    return refuse(std::string("'") + key + "' is missing or too long", "the id of a " + std::string(key),
                  "take it from the plan");
  return body[key].get<std::string>();
}

std::string chapter_of(const Change& change) {
  return change.put ? name_of(*change.put) : "piece/" + change.edit.piece;
}

Result<void> read_put(const json& body, Change& change) {
  if (body.size() != 3 || !body["put"].is_string() || !body.contains("body") || !body.contains("after") ||
      !body["after"].is_string())
    return refuse("the put is not {put, body, after}", "a chapter, its new content and the key of the one before",
                  "send all three");
  auto put = put_named(body["put"].get_ref<const std::string&>());
  if (!put) return tl::unexpected(put.error());
  const bool piece = put->chapter == Chapter::piece;
  if (put->id.size() > 40) return refuse("the piece's id is too long", "at most 40 characters", "shorten it");
  if (body["body"].is_null() && !piece) return refuse("only a piece can be taken out", "a body", "send one");
  if (!body["body"].is_null()) put->body = body["body"].dump(-1, ' ', false, json::error_handler_t::replace);
  change.after = body["after"].get<std::string>();
  change.edit.piece = put->id;
  change.put = std::move(*put);
  return {};
}

Result<std::string> key_alone(const json& body, const char* word) {
  if (body.size() != 1 || !body[word].is_string())
    return refuse(std::string("'") + word + "' stands with other things", "the key of a change", "send it by itself");
  if (body[word].get_ref<const std::string&>().empty())
    return refuse(std::string("'") + word + "' is empty", "the key of a change", "name it");
  return body[word].get<std::string>();
}

// Puts written without knowledge of what stood are contested, unless a choice that stands is for them. The head of a
// chapter moves on with every change that is not contested, whether or not it is taken back later: who has seen it has
// seen it.
std::map<std::string, std::string> contest(std::vector<Change>& changes) {
  std::map<std::string, std::string> head;
  for (Change& change : changes) {
    change.contested = change.pin && change.pin->beside;
    if (!change.takes_back.empty() || change.apart || change.pin || change.reading || change.stock) continue;
    if (!change.chooses.empty()) {
      const auto named =
          std::find_if(changes.begin(), changes.end(), [&](const Change& c) { return c.key == change.chooses; });
      if (named == changes.end() || (!named->put && !named->pin)) continue;
      if (change.stands) named->contested = false;
      if (named->pin) continue;
      head[chapter_of(*named)] = change.key;
      continue;
    }
    std::string& newest = head[chapter_of(change)];
    change.contested = change.put && change.after != newest;
    if (!change.contested) newest = change.key;
  }
  return head;
}

// Corners of an outline or points of a line: short lists of numbers, millimetres.
std::optional<EditRows> rows_of(const json& value) {
  if (!value.is_array() || value.empty() || value.size() > kMostCorners) return {};
  EditRows rows;
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
  if (text.size() > kLongestPut) return refuse("the change is too long", "at most 900 kB", "make it in smaller steps");
  const json body = json::parse(text, nullptr, false);
  if (!body.is_object()) return refuse("the change is not a JSON object", "{piece, part, zone, set}", "send one");
  Change change;
  change.key = key;
  change.when = when;
  if (body.contains("put")) {
    if (auto read = read_put(body, change); !read) return tl::unexpected(read.error());
    return change;
  }
  if (body.contains("pin")) {
    if (text.size() > kLongestChange) return refuse("the pin is too long", "at most 16 KiB", "send it to /api/pin");
    auto pin = read_pin_step(text);
    if (!pin) return tl::unexpected(pin.error());
    change.pin = std::move(*pin);
    return change;
  }
  if (body.contains("reading")) {
    if (text.size() > kLongestChange)
      return refuse("the reading is too long", "at most 16 KiB", "send the reading alone");
    auto reading = read_air_reading(text, when);
    if (!reading) return tl::unexpected(reading.error());
    change.reading = std::move(*reading);
    return change;
  }
  if (body.contains("stock")) {
    if (text.size() > 2 * kLongestChange) return refuse("the shelf is too long", "at most 32 KiB", "tell it in parts");
    auto stock = read_stock_step(text);
    if (!stock) return tl::unexpected(stock.error());
    change.stock = std::move(*stock);
    return change;
  }
  if (body.contains("taken_off")) {
    auto apart = read_apart_step(text);
    if (!apart) return tl::unexpected(apart.error());
    change.edit.piece = apart->piece;
    change.apart = std::move(*apart);
    return change;
  }
  if (text.size() > kLongestChange + kLongestSwatch)
    return refuse("the change is too long", "at most 16 KiB, and a swatch of 120 kB", "make it in smaller steps");
  for (const char* word : {"take_back", "choose"}) {
    if (!body.contains(word)) continue;
    auto named = key_alone(body, word);
    if (!named) return tl::unexpected(named.error());
    (*word == 't' ? change.takes_back : change.chooses) = std::move(*named);
    return change;
  }
  const bool has_swatch = body.contains("set") && body["set"].is_object() && body["set"].contains("swatch");
  if (!has_swatch && text.size() > kLongestChange)
    return refuse("the change is too long", "at most 16 KiB", "make it in smaller steps");
  for (const auto& [name, value] : body.items()) {
    if (name != "piece" && name != "part" && name != "zone" && name != "set" && name != "remove")
      return refuse("unknown field '" + name + "'", "piece, part, zone, set, remove or take_back", "leave it out");
  }
  const auto piece = id_of(body, "piece"), part = id_of(body, "part"), zone = id_of(body, "zone");
  for (const auto* id : {&piece, &part, &zone}) {
    if (!*id) return tl::unexpected(id->error());
  }
  change.edit.piece = *piece;
  change.edit.part = *part;
  change.edit.zone = *zone;
  if (body.contains("remove")) {
    if (!body["remove"].is_boolean() || !body["remove"].get<bool>() || body.contains("set"))
      return refuse("'remove' stands with other things", "\"remove\": true without set", "send one or the other");
    change.edit.remove = true;
    return change;
  }
  if (!body.contains("set") || !body["set"].is_object() || body["set"].empty() || body["set"].size() > kMostKeys)
    return refuse("'set' is missing", "an object of keys and values", "say what changes");
  for (const auto& [name, value] : body["set"].items()) {
    if (name.empty() || name.size() > 60 || name == "id")
      return refuse("'" + name + "' cannot be set", "a key of a zone", "see docs/job-file.md");
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
      return refuse("the value of '" + name + "' cannot be taken", "a text, a number, rows of numbers or null",
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
      return refuse("there is no earlier change '" + later->takes_back + "'", "the key of an earlier change",
                    "reload and try again");
    if (later->stands) named->stands = false;
  }
  for (auto choice = changes.begin(); choice != changes.end(); ++choice) {
    if (choice->chooses.empty()) continue;
    const auto named = std::find_if(changes.begin(), choice, [&](const Change& c) { return c.key == choice->chooses; });
    if (named == choice || (!named->put && !named->pin))
      return refuse("there is no earlier put '" + choice->chooses + "'", "the key of a contested put",
                    "reload and try again");
  }
  contest(changes);
  return {};
}

std::vector<Step> standing(const std::vector<Change>& changes) {
  // A contested put comes in force where it was chosen, not where it was written.
  std::map<std::string, const Change*> waiting;
  std::vector<Change> as_written = changes;
  for (Change& change : as_written) {
    if (!change.chooses.empty()) change.stands = false;
  }
  contest(as_written);
  std::vector<Step> steps;
  for (std::size_t k = 0; k < changes.size(); ++k) {
    const Change& change = changes[k];
    if (as_written[k].contested) waiting[change.key] = &change;
    if (!change.stands || !change.takes_back.empty() || as_written[k].contested) continue;
    if (!change.chooses.empty()) {
      const auto named = waiting.find(change.chooses);
      if (named != waiting.end() && named->second->stands && named->second->put)
        steps.emplace_back(*named->second->put);
    } else if (change.pin || change.reading || change.stock) {
      continue;  // nothing of the job
    } else if (change.put) {
      steps.emplace_back(*change.put);
    } else if (change.apart) {
      steps.emplace_back(*change.apart);
    } else {
      steps.emplace_back(change.edit);
    }
  }
  return steps;
}

std::map<std::string, std::string> heads(const std::vector<Change>& changes) {
  std::vector<Change> copy = changes;
  return contest(copy);
}

}  // namespace tackcloth::job
