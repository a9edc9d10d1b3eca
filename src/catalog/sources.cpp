// docs/sources.md: every value with where it comes from.
#include <map>
#include <sstream>

#include "catalog/catalog.h"
#include "catalog/values.h"

namespace tackcloth::catalog {
namespace {

// A cell must not break the table it stands in.
std::string cell(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '|') out += '\\';
    out += c == '\n' || c == '\r' ? ' ' : c;
  }
  return out;
}

template <class Entry>
void add(std::vector<SourceRow>& rows, const std::string& id, const std::string& title, const Entry& entry) {
  for (const auto& [name, text] : values_of(entry)) {
    const auto it = entry.marks.find(name);
    if (it != entry.marks.end()) rows.push_back({id, title, name, text, it->second});
  }
}

// One line an entry and note, so that a value is found by the product it belongs to.
void section(std::ostream& out, const std::vector<SourceRow>& rows, Origin origin) {
  out << "| entry | values | note |\n|---|---|---|\n";
  for (std::size_t i = 0; i < rows.size();) {
    const std::string& id = rows[i].id;
    const std::string entry = "`" + id + "` " + rows[i].title;
    std::vector<std::pair<std::string, std::string>> by_note;  // note, values; in order of first use
    std::map<std::string, std::size_t> place;
    for (; i < rows.size() && rows[i].id == id; ++i) {
      if (rows[i].mark.origin != origin) continue;
      const auto [it, fresh] = place.emplace(rows[i].mark.note, by_note.size());
      if (fresh) by_note.emplace_back(rows[i].mark.note, "");
      std::string& values = by_note[it->second].second;
      if (!values.empty()) values += "; ";
      values += "**" + rows[i].value + "** " + rows[i].text;
    }
    for (const auto& [note, values] : by_note) {
      out << "| " << cell(entry) << " | " << cell(values) << " | " << cell(note) << " |\n";
    }
  }
  out << '\n';
}

}  // namespace

std::vector<SourceRow> source_rows(const Catalog& catalog) {
  std::vector<SourceRow> rows;
  for (const auto& c : catalog.components) add(rows, c.id, c.name, c);
  for (const auto& s : catalog.species) add(rows, s.id, s.name, s);
  for (const auto& a : catalog.abrasives) add(rows, "P" + std::to_string(a.grit), "abrasive sheet", a);
  for (const auto& p : catalog.paces) {
    for (const auto& [name, text] : values_of(p)) rows.push_back({p.id, "pace of work", name, text, p.mark});
  }
  for (const auto& l : catalog.leavings)
    rows.push_back({l.id, "left behind", l.id == "can" ? "share" : "litres",
                    number_text(l.id == "can" ? l.share : l.litres), l.mark});
  for (const auto& p : catalog.products) add(rows, p.id, p.name, p);
  return rows;
}

std::string sources_markdown(const Catalog& catalog) {
  const auto rows = source_rows(catalog);
  std::map<Origin, std::size_t> count;
  for (const auto& row : rows) ++count[row.mark.origin];
  std::ostringstream out;
  out << "# Where the catalogue's values come from\n\n"
         "Made by `tackcloth sources` from the marks in `catalog/`; do not edit it by hand. What the marks mean:\n"
         "[catalog.md](catalog.md). The label on the can and the local code come before anything here.\n\n"
      << "| mark | values |\n|---|---|\n"
      << "| [source](#with-a-source) | " << count[Origin::source] << " |\n"
      << "| [common practice, no source](#common-practice-no-source) | " << count[Origin::common_practice] << " |\n"
      << "| [from memory, not checked](#from-memory-not-checked) | " << count[Origin::from_memory] << " |\n"
      << "| [demo](#demo) | " << count[Origin::demo] << " |\n"
      << "| all | " << rows.size() << " |\n\n";
  out << "## With a source\n\n";
  section(out, rows, Origin::source);
  out << "## Common practice, no source\n\n";
  section(out, rows, Origin::common_practice);
  out << "## From memory, not checked\n\n";
  section(out, rows, Origin::from_memory);
  out << "## Demo\n\nInvented for the example. Put your own dealer's prices here.\n\n";
  section(out, rows, Origin::demo);
  std::string text = out.str();
  text.pop_back();  // one newline at the end
  return text;
}

}  // namespace tackcloth::catalog
