#include "climate/csv_table.h"

#include "climate/csv_line.h"

namespace tackcloth::climate {

namespace {

constexpr int kAbsent = -1;

int column_of(std::string_view line, std::string_view field) {
  return static_cast<int>(field.data() - line.data()) + 1;
}

std::string plain(double value) {
  std::string text = std::to_string(value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string list(bool time_needed, const std::vector<CsvColumn>& columns) {
  std::string needed = time_needed ? "time" : "", wanted = time_needed ? "" : "time";
  for (const CsvColumn& column : columns) {
    std::string& where = column.needed ? needed : wanted;
    where += (where.empty() ? "" : ", ") + std::string(column.name);
  }
  return needed + (wanted.empty() ? "" : ", and if wanted " + wanted);
}

struct Header {
  int fields = 0, time = kAbsent;
  std::vector<int> place;  // of each CsvColumn
};

Result<Header> read_header(const std::string& path, const std::string& line, bool time_needed,
                           const std::vector<CsvColumn>& columns) {
  Header header;
  header.place.assign(columns.size(), kAbsent);
  const auto fields = split(line);
  header.fields = static_cast<int>(fields.size());
  for (std::size_t i = 0; i < fields.size(); ++i) {
    int* place = fields[i] == "time" ? &header.time : nullptr;
    for (std::size_t c = 0; c < columns.size() && !place; ++c)
      if (fields[i] == columns[c].name) place = &header.place[c];
    const int column = fields[i].empty() ? 1 : column_of(line, fields[i]);
    if (!place)
      return tl::unexpected(Problem{path, 1, column, "the column '" + std::string(fields[i]) + "' is not known",
                                    list(time_needed, columns), "begin the file with a header row of these names"});
    if (*place != kAbsent)
      return tl::unexpected(Problem{path, 1, column, "the column '" + std::string(fields[i]) + "' is there twice",
                                    "each column once", "take one out"});
    *place = static_cast<int>(i);
  }
  const auto missing = [&](const char* name) {
    return tl::unexpected(Problem{path, 1, 0, "the column '" + std::string(name) + "' is missing",
                                  list(time_needed, columns), "add it to the header row and to every row"});
  };
  if (time_needed && header.time == kAbsent) return missing("time");
  for (std::size_t c = 0; c < columns.size(); ++c)
    if (columns[c].needed && header.place[c] == kAbsent) return missing(columns[c].name);
  return header;
}

}  // namespace

Result<CsvTable> read_csv_table(const std::string& path, bool time_needed, const std::vector<CsvColumn>& columns) {
  const auto text = read_lines(path);
  if (!text) return tl::unexpected(text.error());
  const auto& lines = text->lines;
  const auto header = read_header(path, lines.empty() ? std::string{} : lines[0], time_needed, columns);
  if (!header) return tl::unexpected(header.error());
  CsvTable table;
  table.has_time = header->time != kAbsent;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    if (lines[i].empty()) continue;
    const int line = static_cast<int>(i) + 1;
    const auto fields = split(lines[i]);
    if (static_cast<int>(fields.size()) != header->fields)
      return tl::unexpected(Problem{path, line, 0, "the row has " + std::to_string(fields.size()) + " fields",
                                    std::to_string(header->fields) + ", as in the header", "mend the row"});
    CsvRow row;
    row.line = line;
    row.values.resize(columns.size());
    if (table.has_time) {
      const std::string_view field = fields[static_cast<std::size_t>(header->time)];
      const auto when = parse_instant(field);
      if (!when) {
        Problem problem = when.error();
        problem.file = path;
        problem.line = line;
        problem.column = column_of(lines[i], field);
        return tl::unexpected(problem);
      }
      row.when = *when;
    }
    for (std::size_t c = 0; c < columns.size(); ++c) {
      if (header->place[c] == kAbsent) continue;
      const std::string_view field = fields[static_cast<std::size_t>(header->place[c])];
      if (field.empty()) continue;
      const auto value = to_number(field);
      if (!value || *value < columns[c].low || *value > columns[c].high)
        return tl::unexpected(Problem{
            path, line, column_of(lines[i], field), "'" + std::string(field) + "' is not a usable " + columns[c].name,
            "a number between " + plain(columns[c].low) + " and " + plain(columns[c].high), columns[c].mend});
      row.values[c] = *value;
    }
    table.rows.push_back(std::move(row));
  }
  if (table.rows.empty())
    return tl::unexpected(
        Problem{path, 0, 0, "there are no rows after the header", "at least one row", "get the file again"});
  return table;
}

}  // namespace tackcloth::climate
