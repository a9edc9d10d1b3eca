#include "cutting/parts_csv.h"

#include <charconv>
#include <cmath>
#include <map>
#include <set>

#include "units/quantity.h"

namespace tackcloth::cutting {
namespace {

// Fields of one record; quotes may hold commas and doubled quotes, but no line ends.
bool split(std::string_view line, std::vector<std::string>& fields) {
  fields.assign(1, "");
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted) {
      if (c != '"') {
        fields.back() += c;
      } else if (i + 1 < line.size() && line[i + 1] == '"') {
        fields.back() += line[++i];
      } else {
        quoted = false;
      }
    } else if (c == '"' && fields.back().find_first_not_of(' ') == std::string::npos) {
      fields.back().clear();
      quoted = true;
    } else if (c == ',') {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  for (std::string& field : fields) {
    const auto first = field.find_first_not_of(" \t"), last = field.find_last_not_of(" \t");
    field = first == std::string::npos ? "" : field.substr(first, last - first + 1);
  }
  return !quoted;
}

std::string shown(std::string_view text) { return "'" + std::string(text.substr(0, 40)) + "'"; }

}  // namespace

Result<Length> whole_number(std::string_view text) {
  Length value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || text.empty())
    return tl::unexpected(Problem{"", 0, 0, shown(text) + " is no whole number", "a whole number such as 450",
                                  "write all sizes in a unit small enough"});
  return value;
}

Result<Length> micrometres(std::string_view text) {
  const auto mm = units::parse_length_mm(text);
  if (!mm) return tl::unexpected(mm.error());
  if (!(std::abs(*mm) <= 1e6))
    return tl::unexpected(Problem{"", 0, 0, shown(text) + " is longer than any roll", "up to 1 km", "check the unit"});
  return static_cast<Length>(std::llround(*mm * 1000));
}

Results<std::vector<Part>> parts_from_csv(std::string_view text, const std::string& file, bool turns, ReadLength read) {
  std::vector<Problem> problems;
  std::vector<Part> parts;
  std::map<std::string, std::size_t> columns;
  std::set<std::string> ids;
  std::vector<std::string> fields;
  int number = 0;
  std::string_view rest = text.substr(0, 3) == "\xEF\xBB\xBF" ? text.substr(3) : text;
  if (rest.find('\0') != std::string_view::npos)
    return tl::unexpected(std::vector<Problem>{{file, 0, 0, "this is no text file", "a CSV", "save the table as CSV"}});
  while (!rest.empty() && problems.size() < 20) {
    const std::size_t end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
    ++number;
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (line.find_first_not_of(" \t,") == std::string_view::npos) continue;
    const auto wrong = [&](std::string what, std::string expected, std::string remedy) {
      problems.push_back({file, number, 0, std::move(what), std::move(expected), std::move(remedy)});
    };
    if (!split(line, fields)) {
      wrong("a quote is opened and not closed", "\"...\" on one line", "close the quote, or leave it out");
      continue;
    }
    if (columns.empty()) {
      for (std::size_t i = 0; i < fields.size(); ++i) columns.emplace(fields[i], i);
      for (const char* needed : {"id", "width", "height"})
        if (columns.count(needed) == 0)
          wrong("there is no column '" + std::string(needed) + "'", "a first row id,width,height[,quantity][,turn]",
                "name the columns in the first row");
      if (!problems.empty()) return tl::unexpected(std::move(problems));
      continue;
    }
    const auto field = [&](const char* name) -> std::string {
      const auto at = columns.find(name);
      return at == columns.end() || at->second >= fields.size() ? "" : fields[at->second];
    };
    Part part;
    part.id = field("id");
    part.may_turn = turns;
    if (part.id.empty()) {
      wrong("the part has no id", "a name for the part", "write a short name in the column id");
    } else if (!ids.insert(part.id).second) {
      wrong("the id " + shown(part.id) + " is there twice", "one row a part",
            "use the column quantity for parts that are alike, or another id");
    }
    for (const auto& [name, value] :
         {std::pair<const char*, Length*>{"width", &part.width}, {"height", &part.height}}) {
      const std::string given = field(name);
      const auto length = read(given);
      if (!length) {
        wrong(std::string(name) + ": " + length.error().what, length.error().expected, length.error().remedy);
      } else if (*length <= 0) {
        wrong(std::string(name) + ": " + shown(given) + " is not above zero", "a size above 0",
              "measure the part again");
      } else if (*length > kMostLength) {
        wrong(std::string(name) + ": " + shown(given) + " is too large", "up to " + std::to_string(kMostLength),
              "check the unit");
      } else {
        *value = *length;
      }
    }
    if (const std::string given = field("quantity"); !given.empty()) {
      const auto quantity = whole_number(given);
      if (!quantity || *quantity < 1 || *quantity > kMostParts) {
        wrong("quantity: " + shown(given) + " cannot be used", "a whole number from 1 to " + std::to_string(kMostParts),
              "leave it empty for one");
      } else {
        part.quantity = static_cast<int>(*quantity);
      }
    }
    if (const std::string given = field("turn"); !given.empty()) {
      if (given == "no") {
        part.may_turn = false;
      } else if (given == "yes") {
        part.may_turn = true;
      } else {
        wrong("turn: " + shown(given) + " is no answer", "yes or no",
              "write no for parts whose grain or nap must run along the roll");
      }
    }
    parts.push_back(part);
  }
  if (problems.empty() && parts.empty())
    problems.push_back({file, number, 0, "there is no part in the file", "rows id,width,height[,quantity]",
                        "add a row for each part"});
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return parts;
}

std::string places_csv(const std::vector<Part>& parts, const Layout& layout) {
  std::string text = "id,copy,x,y,width,height,turned\r\n";
  for (const Place& p : layout.places) {
    std::string id = parts[static_cast<std::size_t>(p.part)].id;
    if (id.find_first_of(",\"\r\n") != std::string::npos) {
      std::string quoted = "\"";
      for (const char c : id) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
      id = quoted + "\"";
    }
    text += id + "," + std::to_string(p.copy + 1) + "," + std::to_string(p.x) + "," + std::to_string(p.y) + "," +
            std::to_string(p.width) + "," + std::to_string(p.height) + (p.turned ? ",yes\r\n" : ",no\r\n");
  }
  return text;
}

}  // namespace tackcloth::cutting
