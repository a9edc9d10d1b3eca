#include "color/palette.h"

#include <cmath>
#include <set>

#include "reading/table.h"

namespace tackcloth::color {

namespace {

using reading::Document;
using reading::Table;

template <class T>
const T* find(const std::vector<T>& all, std::string_view id) {
  for (const T& one : all)
    if (one.id == id) return &one;
  return nullptr;
}

Result<double> no_text(std::string_view text) {
  return tl::unexpected<Problem>({"", 0, 0, "'" + std::string(text) + "' is not a number", "a number", ""});
}

std::vector<std::vector<double>> shapes(Table& table, const char* key) {
  auto rows = table.rows(key, no_text, 3, 3, "[nm, width in nm, height in m2/g]");
  for (const auto& row : rows)
    if (row.size() == 3 &&
        !(row[0] > 200 && row[0] < 1500 && row[1] >= 1 && row[1] <= 300 && row[2] >= 0 && row[2] <= 100)) {
      table.problem(key, "a shape is out of range", "200 to 1500 nm, a width of 1 to 300 nm, a height of 0 to 100 m2/g",
                    "see the head of the file");
      return {};
    }
  return rows;
}

Colorant read_colorant(Table table) {
  Colorant c;
  c.id = table.need_text("id");
  c.name = table.need_text("name");
  c.mark = table.need_text("mark");
  c.dye = table.choice("kind", {"pigment", "dye"}).value_or(0) == 1;
  const double k_base = table.need_number("k_base", 0, 100), k_power = table.need_number("k_power", -4, 4);
  const double s_550 = table.need_number("s_550", 0, 10), s_power = table.need_number("s_power", -4, 4);
  const auto bands = shapes(table, "k_bands"), edges = shapes(table, "k_edges");
  c.most_g_l = table.need_number("most_g_l", 0.01, 500);
  c.paint_g_l = table.need_number("paint_g_l", 0, 1000);
  c.paste_share = table.need_number("paste_share", 0.001, 1);
  c.paste_g_ml = table.need_number("paste_g_ml", 0.5, 5);
  table.finish();
  for (std::size_t i = 0; i < kSamples; ++i) {
    const double w = wavelength_nm(i);
    c.k[i] = k_base * std::pow(550 / w, k_power);
    c.s[i] = s_550 * std::pow(550 / w, s_power);
    for (const auto& b : bands)
      if (b.size() == 3) c.k[i] += b[2] * std::exp(-(w - b[0]) * (w - b[0]) / (2 * b[1] * b[1]));
    for (const auto& e : edges)
      if (e.size() == 3) c.k[i] += e[2] / (1 + std::exp((w - e[0]) / e[1]));
  }
  return c;
}

Clear read_clear(Table table) {
  Clear c;
  c.id = table.need_text("id");
  c.name = table.need_text("name");
  c.mark = table.need_text("mark");
  c.index = table.need_number("index", 1.2, 2);
  c.wets = table.need_number("wets", 0, 1);
  c.amber_new = table.need_number("amber_new", 0, 10);
  c.amber_old = table.need_number("amber_old", 0, 10);
  c.amber_years = table.need_number("amber_years", 0.1, 1000);
  c.coat_um = table.need_number("coat_um", 0.5, 1000);
  table.finish();
  return c;
}

Wood read_wood(Table table) {
  Wood w;
  w.id = table.need_text("id");
  w.mark = table.need_text("mark");
  const auto lab = table.numbers("lab");
  if (lab.size() == 3 && lab[0] >= 0 && lab[0] <= 100 && std::abs(lab[1]) <= 128 && std::abs(lab[2]) <= 128)
    w.bare = {lab[0], lab[1], lab[2]};
  else
    table.problem("lab", "this is no Lab colour", "three numbers, L from 0 to 100, a and b from -128 to 128",
                  "write it as lab = [68, 7, 21]");
  table.finish();
  return w;
}

template <class T>
void read_file(const std::string& path, const char* key, T (*read)(Table), std::vector<T>& into,
               std::vector<Problem>& problems) {
  auto document = Document::open(path);
  if (!document) {
    problems.push_back(document.error());
    return;
  }
  Table root = (*document)->root();
  std::set<std::string> seen;
  for (Table& table : root.tables(key)) {
    T one = read(table);
    if (!seen.insert(one.id).second)
      table.problem("id", "'" + one.id + "' is there twice", "each id once", "rename one of them");
    into.push_back(std::move(one));
  }
  root.finish();
  for (const Problem& p : (*document)->problems()) problems.push_back(p);
}

}  // namespace

double Colorant::g_per_drop() const { return kDropMl * paste_g_ml * paste_share; }

const Colorant* Palette::colorant(std::string_view id) const { return find(colorants, id); }
const Clear* Palette::clear(std::string_view id) const { return find(clears, id); }
const Wood* Palette::wood(std::string_view id) const { return find(woods, id); }

Results<Palette> load_palette(const std::string& catalog_dir) {
  Palette palette;
  std::vector<Problem> problems;
  read_file(catalog_dir + "/color/colorants.toml", "colorant", read_colorant, palette.colorants, problems);
  read_file(catalog_dir + "/color/clears.toml", "clear", read_clear, palette.clears, problems);
  read_file(catalog_dir + "/color/woods.toml", "wood", read_wood, palette.woods, problems);
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return palette;
}

}  // namespace tackcloth::color
