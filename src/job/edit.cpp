#include "job/edit.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <sstream>

#include "job/parsed.h"
#include "job/words.h"
#include "units/quantity.h"

namespace tackcloth::job {

namespace {

toml::table* with_id(toml::table& parent, std::string_view list, const std::string& id) {
  toml::array* rows = parent[list].as_array();
  if (rows == nullptr) return nullptr;
  for (toml::node& row : *rows) {
    toml::table* table = row.as_table();
    if (table != nullptr && (*table)["id"].value_or(std::string()) == id) return table;
  }
  return nullptr;
}

Problem missing(const std::string& what, const std::string& id) {
  return {"",
          0,
          0,
          "there is no " + what + " '" + id + "' in this job",
          "a " + what + " of the job",
          "take the change back, or mend its name"};
}

toml::table* zone_of(toml::table& root, const std::string& piece, const std::string& part, const std::string& zone) {
  toml::table* p = with_id(root, "piece", piece);
  toml::table* q = p ? with_id(*p, "part", part) : nullptr;
  return q ? with_id(*q, "zone", zone) : nullptr;
}

toml::array array_of(const EditRows& rows) {
  toml::array list;
  for (const auto& row : rows) {
    toml::array numbers;
    for (const double number : row) numbers.push_back(number);
    list.push_back(std::move(numbers));
  }
  return list;
}

// Lengths as text or in millimetres, as Table::rows reads them; nothing when one of them is neither.
std::optional<EditRows> rows_of(const toml::node& node) {
  const toml::array* list = node.as_array();
  if (list == nullptr) return {};
  EditRows rows;
  for (const toml::node& item : *list) {
    const toml::array* row = item.as_array();
    if (row == nullptr) return {};
    rows.emplace_back();
    for (const toml::node& value : *row) {
      if (const auto text = value.value<std::string>()) {
        const auto mm = units::parse_length_mm(*text);
        if (!mm) return {};
        rows.back().push_back(*mm);
      } else if (const auto number = value.value<double>()) {
        rows.back().push_back(*number);
      } else {
        return {};
      }
    }
  }
  return rows;
}

void change(toml::table& zone, const Edit& edit) {
  for (const auto& [key, value] : edit.set) {
    if (const auto* text = std::get_if<std::string>(&value))
      zone.insert_or_assign(key, *text);
    else if (const auto* number = std::get_if<double>(&value)) {
      if (*number == std::floor(*number) && std::abs(*number) < 1e15)
        zone.insert_or_assign(key, static_cast<std::int64_t>(*number));
      else
        zone.insert_or_assign(key, *number);
    } else if (const auto* rows = std::get_if<EditRows>(&value))
      zone.insert_or_assign(key, array_of(*rows));
    else
      zone.erase(key);
  }
}

}  // namespace

Result<std::string> edited(std::string_view toml, const std::vector<Edit>& edits) {
  if (edits.empty()) return std::string(toml);
  auto root = parsed(toml);
  if (!root) return tl::unexpected(root.error());
  for (const Edit& edit : edits) {
    toml::table* piece = with_id(*root, "piece", edit.piece);
    if (piece == nullptr) return tl::unexpected(missing("piece", edit.piece));
    toml::table* part = with_id(*piece, "part", edit.part);
    if (part == nullptr) return tl::unexpected(missing("part", edit.part));
    toml::array* zones = (*part)["zone"].as_array();
    if (zones == nullptr) {
      part->insert_or_assign("zone", toml::array{});
      zones = (*part)["zone"].as_array();
    }
    if (edit.remove) {
      for (auto row = zones->begin(); row != zones->end(); ++row) {
        const toml::table* table = row->as_table();
        if (table != nullptr && (*table)["id"].value_or(std::string()) == edit.zone) {
          zones->erase(row);
          break;
        }
      }
      continue;
    }
    toml::table* zone = with_id(*part, "zone", edit.zone);
    if (zone == nullptr) {
      zones->push_back(toml::table{{"id", edit.zone}});
      zone = zones->back().as_table();
    }
    change(*zone, edit);
  }
  std::ostringstream out;
  out << *root << "\n";
  return out.str();
}

std::vector<std::pair<std::string, EditValue>> written_keys(std::string_view toml, const std::string& piece,
                                                            const std::string& part, const std::string& zone) {
  std::vector<std::pair<std::string, EditValue>> keys;
  auto root = parsed(toml);
  if (!root) return keys;
  const toml::table* table = zone_of(*root, piece, part, zone);
  if (table == nullptr) return keys;
  const auto& shapes = geometry_keys();
  for (const auto& [key, node] : *table) {
    const std::string name(key.str());
    const bool length = std::find(shapes.begin(), shapes.end(), name) != shapes.end();
    if (const auto text = node.value<std::string>()) {
      const auto mm = length ? units::parse_length_mm(*text) : Result<double>(tl::unexpected(Problem{}));
      if (mm)
        keys.emplace_back(name, *mm);
      else
        keys.emplace_back(name, *text);
    } else if (const auto number = node.value<double>()) {
      keys.emplace_back(name, *number);
    } else if (auto rows = rows_of(node)) {
      keys.emplace_back(name, std::move(*rows));
    }
  }
  return keys;
}

}  // namespace tackcloth::job
