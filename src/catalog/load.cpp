#include <algorithm>
#include <filesystem>
#include <set>

#include "catalog/catalog.h"
#include "catalog/read.h"
#include "catalog/words.h"
#include "reading/table.h"

namespace tackcloth::catalog {
namespace {

namespace fs = std::filesystem;

void refuse_twice(reading::Table& table, std::string_view key, const std::string& what, bool first) {
  if (!first) table.problem(key, what + " is there twice", "each one once in the catalogue", "remove or rename one");
}

// Reads every [[entry]] of one file; `take` gets each table. Adds the file's problems to `all`.
template <class Take>
void read_file(const fs::path& path, const std::string& entry, std::vector<Problem>& all, Take take) {
  auto document = reading::Document::open(path.string());
  if (!document) {
    all.push_back(document.error());
    return;
  }
  auto root = (*document)->root();
  auto entries = root.tables(entry);
  if (entries.empty() && !root.has(entry)) {
    root.problem(entry, "no [[" + entry + "]] in this file", "at least one", "see docs/catalog.md");
  }
  for (auto& table : entries) take(table);
  root.finish();
  const auto& problems = (*document)->problems();
  all.insert(all.end(), problems.begin(), problems.end());
}

// products.toml and products/*.toml, by name so that the order never depends on the file system.
std::vector<fs::path> product_files(const fs::path& directory) {
  std::vector<fs::path> files;
  std::error_code error;
  if (fs::exists(directory / "products.toml", error)) files.push_back(directory / "products.toml");
  std::vector<fs::path> family;
  for (fs::directory_iterator it(directory / "products", error), end; !error && it != end; it.increment(error)) {
    if (it->path().extension() == ".toml") family.push_back(it->path());
  }
  std::sort(family.begin(), family.end());
  files.insert(files.end(), family.begin(), family.end());
  return files;
}

std::vector<std::string> leaving_words() {
  std::vector<std::string> words = method_words();
  words.push_back("can");
  return words;
}

}  // namespace

Results<Catalog> load_catalog(const std::string& directory) {
  const fs::path dir(directory);
  Catalog catalog;
  std::vector<Problem> all;
  std::error_code error;
  if (!fs::is_directory(dir, error)) {
    Problem problem;
    problem.file = directory;
    problem.what = "there is no catalogue here";
    problem.expected =
        "a directory with components.toml, species.toml, abrasives.toml, paces.toml, leavings.toml and products";
    problem.remedy = "check the path of the catalogue";
    return tl::make_unexpected(std::vector<Problem>{problem});
  }

  std::set<std::string> seen;
  // Reads the entries of one file into `out`; `key` is what must be unique.
  const auto read_ids = [&](const fs::path& path, const std::string& entry, auto& out, auto read) {
    read_file(path, entry, all, [&](reading::Table& table) {
      out.push_back(read(table));
      const std::string& id = out.back().id;
      refuse_twice(table, "id", entry + " '" + id + "'", id.empty() || seen.insert(entry + " " + id).second);
    });
  };
  read_ids(dir / "components.toml", "component", catalog.components, read_component);
  read_ids(dir / "species.toml", "species", catalog.species, read_species);
  read_ids(dir / "paces.toml", "pace", catalog.paces, read_pace);
  read_ids(dir / "leavings.toml", "leaving", catalog.leavings, read_leaving);
  for (const std::string& id : leaving_words()) {
    const auto same = [&](const Leaving& one) { return one.id == id; };
    if (catalog.leavings.empty() || std::any_of(catalog.leavings.begin(), catalog.leavings.end(), same)) continue;
    Problem problem;
    problem.file = (dir / "leavings.toml").string();
    problem.line = problem.column = 1;
    problem.what = "nothing says what is left behind: no '" + id + "'";
    problem.expected = "a [[leaving]] for each way of putting on, and for the can";
    problem.remedy = "add it; 0 when nothing is";
    all.push_back(std::move(problem));
  }
  read_file(dir / "abrasives.toml", "abrasive", all, [&](reading::Table& table) {
    const Abrasive abrasive = read_abrasive(table);
    const bool first = !catalog.abrasive(abrasive.grit);
    refuse_twice(table, "grit", "P" + std::to_string(abrasive.grit), first);
    if (!catalog.abrasives.empty() && first && abrasive.median_um >= catalog.abrasives.back().median_um &&
        abrasive.grit > catalog.abrasives.back().grit) {
      table.problem("median_um", "P" + std::to_string(abrasive.grit) + " is not finer than the grade before it",
                    "a smaller median for a higher grade", "look it up again");
    }
    catalog.abrasives.push_back(abrasive);
  });
  std::stable_sort(catalog.abrasives.begin(), catalog.abrasives.end(),
                   [](const Abrasive& a, const Abrasive& b) { return a.grit < b.grit; });

  const auto files = product_files(dir);
  if (files.empty()) {
    Problem problem;
    problem.file = (dir / "products").string();
    problem.what = "the catalogue has no products";
    problem.expected = "products.toml or products/*.toml";
    problem.remedy = "see docs/catalog.md";
    all.push_back(std::move(problem));
  }
  for (const auto& path : files) {
    read_ids(path, "product", catalog.products,
             [&](reading::Table table) { return read_product(std::move(table), catalog.components); });
  }

  if (!all.empty()) return tl::make_unexpected(std::move(all));
  return catalog;
}

}  // namespace tackcloth::catalog
