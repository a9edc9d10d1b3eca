// tackcloth sources: where every value of the catalogue comes from.
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>

#include "catalog/catalog.h"
#include "cli/command.h"

namespace tackcloth::cli {
namespace {

struct Options {
  std::string out;
  bool json = false;
};

template <class Entry>
void marks_json(nlohmann::json& list, const std::string& id, const Entry& entry) {
  for (const auto& [value, mark] : entry.marks) {
    list.push_back({{"entry", id}, {"value", value}, {"mark", catalog::to_text(mark.origin)}, {"note", mark.note}});
  }
}

nlohmann::json to_json(const catalog::Catalog& catalog) {
  nlohmann::json list = nlohmann::json::array();
  for (const auto& c : catalog.components) marks_json(list, c.id, c);
  for (const auto& s : catalog.species) marks_json(list, s.id, s);
  for (const auto& a : catalog.abrasives) marks_json(list, "P" + std::to_string(a.grit), a);
  for (const auto& p : catalog.paces) {
    list.push_back(
        {{"entry", p.id}, {"value", "minutes"}, {"mark", catalog::to_text(p.mark.origin)}, {"note", p.mark.note}});
  }
  for (const auto& p : catalog.products) marks_json(list, p.id, p);
  return {{"values", list}};
}

// Written beside and moved into place, so that a full disk leaves the old file whole.
bool write_whole(const std::string& path, const std::string& text) {
  const std::string beside = path + ".part";
  {
    std::ofstream file(beside, std::ios::binary | std::ios::trunc);
    file << text;
    file.flush();
    if (!file) {
      std::remove(beside.c_str());
      return false;
    }
  }
  std::error_code error;
  std::filesystem::rename(beside, path, error);
  if (error) std::remove(beside.c_str());
  return !error;
}

}  // namespace

void add_sources(CLI::App& app, Context& context) {
  auto options = std::make_shared<Options>();
  CLI::App* command = app.add_subcommand("sources", "Where every value of the catalogue comes from");
  command->add_option("--out", options->out, "Write the Markdown to this file");
  command->add_flag("--json", options->json, "One JSON object instead of Markdown");
  command->callback([options, &context] {
    const auto catalog = catalog::load_catalog(context.catalog_dir);
    if (!catalog) {
      context.exit_code = report(catalog.error());
      return;
    }
    const std::string text = options->json ? to_json(*catalog).dump(2) + "\n" : catalog::sources_markdown(*catalog);
    if (options->out.empty()) {
      std::cout << text;
      return;
    }
    if (!write_whole(options->out, text)) {
      Problem problem;
      problem.file = options->out;
      problem.what = "cannot write this file";
      problem.expected = "a file in a directory that exists and may be written to";
      problem.remedy = "check the path and the free space";
      context.exit_code = report({problem});
    }
  });
}

}  // namespace tackcloth::cli
