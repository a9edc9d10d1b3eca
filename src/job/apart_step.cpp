#include "job/apart_step.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "job/parsed.h"
#include "job/refuse.h"

namespace tackcloth::job {

namespace {

using nlohmann::json;

constexpr std::size_t kLongestId = 100;

toml::array::iterator row_with(toml::array& rows, const std::string& id) {
  return std::find_if(rows.begin(), rows.end(), [&](const toml::node& node) {
    const toml::table* row = node.as_table();
    return row != nullptr && (*row)["id"].value_or(std::string()) == id;
  });
}

toml::array& rows_of(toml::table& table, const char* key) {
  if (table[key].as_array() == nullptr) table.insert_or_assign(key, toml::array{});
  return *table[key].as_array();
}

Result<void> set_keys(toml::table& row, const std::string& text) {
  const json body = json::parse(text, nullptr, false);
  if (!body.is_object()) return refuse("'set' is no object", "keys of taken_off", "see docs/job-file.md");
  auto table = table_of(body);
  if (!table) return tl::unexpected(table.error());
  for (const auto& [key, value] : body.items()) {
    if (value.is_null())
      row.erase(key);
    else
      row.insert_or_assign(key, *table->get(key));
  }
  return {};
}

}  // namespace

Result<std::string> with_apart(std::string_view toml, const ApartStep& step) {
  auto root = parsed(toml);
  if (!root) return tl::unexpected(root.error());
  toml::array& pieces = rows_of(*root, "piece");
  const auto piece = row_with(pieces, step.piece);
  if (piece == pieces.end())
    return refuse("there is no piece '" + step.piece + "' in this job", "a piece of the job", "reload the page");
  toml::array& rows = rows_of(*piece->as_table(), "taken_off");
  auto place = row_with(rows, step.row);
  if (place == rows.end() && step.set.empty())
    return refuse("nothing called '" + step.row + "' was taken off", "something that was taken off", "reload the page");
  if (step.remove) {
    rows.erase(place);
    if (rows.empty()) piece->as_table()->erase("taken_off");
  } else {
    if (place == rows.end()) {
      rows.push_back(toml::table{{"id", step.row}});
      place = rows.end() - 1;
    }
    toml::table& row = *place->as_table();
    if (!step.set.empty()) {
      if (auto done = set_keys(row, step.set); !done) return tl::unexpected(done.error());
    } else {
      toml::array& ticked = rows_of(row, "ticked");
      const bool there = std::any_of(ticked.begin(), ticked.end(),
                                     [&](const toml::node& node) { return node.value_or(std::string()) == step.tick; });
      if (!there) ticked.push_back(step.tick);  // two people may tick the same
    }
  }
  std::ostringstream out;
  out << *root << "\n";
  return out.str();
}

Result<ApartStep> read_apart_step(std::string_view text) {
  if (text.size() > kLongestChange)
    return refuse("the change is too long", "at most 16 KiB", "make it in smaller steps");
  const json body = json::parse(text, nullptr, false);
  ApartStep step;
  for (const auto& [name, value] : body.items()) {
    std::string* place = name == "piece"       ? &step.piece
                         : name == "taken_off" ? &step.row
                         : name == "tick"      ? &step.tick
                                               : nullptr;
    if (place != nullptr) {
      if (!value.is_string() || value.get_ref<const std::string&>().empty() ||
          value.get_ref<const std::string&>().size() > kLongestId)
        return refuse("'" + name + "' is no word, or too long", "up to 100 bytes", "send one");
      *place = value.get<std::string>();
    } else if (name == "set") {
      if (!value.is_object() || value.empty() || value.size() > kMostKeys || value.contains("id") ||
          value.contains("ticked"))
        return refuse("'set' cannot be taken", "keys of taken_off but for id and ticked", "say what changes");
      step.set = value.dump(-1, ' ', false, json::error_handler_t::replace);
    } else if (name == "remove") {
      if (!value.is_boolean() || !value.get<bool>())
        return refuse("'remove' is not true", "true", "leave it out to keep it");
      step.remove = true;
    } else {
      return refuse("unknown field '" + name + "'", "piece, taken_off, and set, tick or remove", "leave it out");
    }
  }
  if (step.piece.empty() || step.row.empty())
    return refuse("the change names no piece or nothing that came off", "piece and taken_off", "send both");
  if ((step.set.empty() ? 0 : 1) + (step.tick.empty() ? 0 : 1) + (step.remove ? 1 : 0) != 1)
    return refuse("the change does not say one thing", "one of set, tick or remove", "send one of them");
  return step;
}

}  // namespace tackcloth::job
