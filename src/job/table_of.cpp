// JSON bodies as tables of the job.
#include <cmath>
#include <nlohmann/json.hpp>

#include "job/parsed.h"

namespace tackcloth::job {

namespace {

using nlohmann::json;

constexpr int kDeepest = 24;  // bodies are four or five deep

bool fill(toml::table& table, const json& from, int depth);
bool fill(toml::array& rows, const json& from, int depth);

// TOML has no null: such a key is left out, which is what it means in a job.
template <class Insert>
bool add(const json& value, int depth, Insert insert) {
  if (depth > kDeepest) return false;
  switch (value.type()) {
    case json::value_t::null:
      return true;
    case json::value_t::boolean:
      insert(value.get<bool>());
      return true;
    case json::value_t::number_integer:
    case json::value_t::number_unsigned:
      insert(value.get<std::int64_t>());
      return true;
    case json::value_t::number_float: {
      const double number = value.get<double>();
      if (number == std::floor(number) && std::abs(number) < 1e15)
        insert(static_cast<std::int64_t>(number));
      else
        insert(number);
      return true;
    }
    case json::value_t::string:
      insert(value.get<std::string>());
      return true;
    case json::value_t::array: {
      toml::array rows;
      if (!fill(rows, value, depth + 1)) return false;
      insert(std::move(rows));
      return true;
    }
    case json::value_t::object: {
      toml::table table;
      if (!fill(table, value, depth + 1)) return false;
      insert(std::move(table));
      return true;
    }
    default:
      return false;
  }
}

bool fill(toml::table& table, const json& from, int depth) {
  for (const auto& [key, value] : from.items()) {
    const std::string& name = key;
    if (!add(value, depth, [&](auto&& one) { table.insert_or_assign(name, std::forward<decltype(one)>(one)); }))
      return false;
  }
  return true;
}

bool fill(toml::array& rows, const json& from, int depth) {
  for (const json& item : from) {
    if (!add(item, depth, [&](auto&& one) { rows.push_back(std::forward<decltype(one)>(one)); })) return false;
  }
  return true;
}

}  // namespace

Result<toml::table> table_of(const json& body) {
  toml::table table;
  if (!fill(table, body, 0))
    return tl::unexpected(
        Problem{"", 0, 0, "the body is nested too deeply", "what docs/job.schema.json describes", "see there"});
  return table;
}

}  // namespace tackcloth::job
