#include <algorithm>
#include <map>

#include "cutting/outlines.h"
#include "cutting/parts_csv.h"
#include "shape/draw.h"

namespace tackcloth::cutting {

namespace {

std::vector<std::string> fields_of(std::string_view line) {
  std::vector<std::string> fields(1);
  for (const char c : line)
    if (c == ',')
      fields.emplace_back();
    else if (c != '"' && c != '\r')
      fields.back() += c;
  for (std::string& field : fields) {
    const auto first = field.find_first_not_of(" \t"), last = field.find_last_not_of(" \t");
    field = first == std::string::npos ? "" : field.substr(first, last - first + 1);
  }
  return fields;
}

struct Rings {
  int line = 0, quantity = 1;
  std::vector<std::pair<std::string, std::vector<shape::Corner>>> rings;  // by the word in `hole`; "" is the outline
};

}  // namespace

bool is_corner_table(std::string_view text) {
  const auto columns = fields_of(text.substr(0, text.find('\n')));
  const auto has = [&](const char* name) { return std::find(columns.begin(), columns.end(), name) != columns.end(); };
  return has("id") && has("x") && has("y");
}

Results<std::vector<Wanted>> outlines_from_csv(std::string_view text, const std::string& file) {
  std::vector<Problem> problems;
  std::map<std::string, std::size_t> columns;
  std::vector<std::pair<std::string, Rings>> parts;
  int number = 0;
  while (!text.empty() && problems.size() < 20) {
    const std::size_t end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    ++number;
    if (line.find_first_not_of(" \t,\r") == std::string_view::npos) continue;
    const std::vector<std::string> fields = fields_of(line);
    if (columns.empty()) {
      for (std::size_t i = 0; i < fields.size(); ++i) columns.emplace(fields[i], i);
      continue;
    }
    const auto field = [&](const char* name) -> std::string {
      const auto at = columns.find(name);
      return at == columns.end() || at->second >= fields.size() ? "" : fields[at->second];
    };
    const auto mm = [&](const char* name) {
      const std::string given = field(name);
      if (given.empty() && name == std::string_view("rise")) return 0.0;
      const auto value = units::parse_length_mm(given);
      if (value) return *value;
      problems.push_back({file, number, 0, std::string(name) + ": " + value.error().what, value.error().expected,
                          value.error().remedy});
      return 0.0;
    };
    const std::string id = field("id");
    if (id.empty())
      problems.push_back(
          {file, number, 0, "the corner belongs to no part", "a name in the column id", "write it there"});
    auto part = std::find_if(parts.begin(), parts.end(), [&](const auto& p) { return p.first == id; });
    if (part == parts.end()) part = parts.insert(parts.end(), {id, {number, 1, {}}});
    if (const std::string many = field("quantity"); !many.empty()) {
      const auto count = whole_number(many);
      if (count && *count >= 1 && *count <= 1000)
        part->second.quantity = static_cast<int>(*count);
      else
        problems.push_back({file, number, 0, "quantity: '" + many + "' cannot be used", "a whole number from 1 to 1000",
                            "leave it empty for one"});
    }
    auto& rings = part->second.rings;
    const std::string hole = field("hole");
    if (rings.empty() || rings.back().first != hole) rings.push_back({hole, {}});
    const double x = mm("x"), y = mm("y");
    rings.back().second.push_back({{x, y}, mm("rise")});
  }
  if (problems.empty() && parts.empty())
    problems.push_back({file, number, 0, "there is no corner in the file", "rows id,x,y", "add a row for each corner"});
  std::vector<Wanted> wanted;
  for (const auto& [id, drawn] : parts) {
    if (!problems.empty()) break;
    Wanted one;
    one.id = id;
    one.quantity = drawn.quantity;
    for (const auto& [hole, corners] : drawn.rings) {
      const auto ring = shape::curved_polygon(corners);
      if (!ring) {
        problems.push_back(
            {file, drawn.line, 0, "'" + id + "': " + ring.error().what, ring.error().expected, ring.error().remedy});
        break;
      }
      one.outline = one.outline.outlines.empty() ? *ring : shape::subtract(one.outline, *ring);
    }
    const shape::Box box = shape::bounds(one.outline);
    one.width = static_cast<Length>(box.width() * 1000 + 0.5);
    one.height = static_cast<Length>(box.height() * 1000 + 0.5);
    wanted.push_back(std::move(one));
  }
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return wanted;
}

}  // namespace tackcloth::cutting
