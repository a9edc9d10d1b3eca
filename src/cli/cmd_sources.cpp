// tackcloth sources: where every value of the catalogue comes from.
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "catalog/catalog.h"
#include "cli/command.h"
#include "color/palette.h"

namespace tackcloth::cli {
namespace {

struct Options {
  std::string out;
  bool json = false;
};

nlohmann::json json_of(const catalog::Catalog& catalog, const color::Palette& palette) {
  nlohmann::json list = nlohmann::json::array();
  for (const auto& row : catalog::source_rows(catalog)) {
    list.push_back({{"entry", row.id},
                    {"name", row.title},
                    {"value", row.value},
                    {"text", row.text},
                    {"mark", catalog::to_text(row.mark.origin)},
                    {"note", row.mark.note}});
  }
  nlohmann::json colors = nlohmann::json::array();
  const auto put = [&](const std::string& id, const std::string& mark) {
    colors.push_back({{"entry", id}, {"note", mark}});
  };
  for (const auto& c : palette.colorants) put(c.id, c.mark);
  for (const auto& c : palette.clears) put(c.id, c.mark);
  for (const auto& w : palette.woods) put(w.id, w.mark);
  return {{"values", list}, {"colors", colors}};
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
    const auto palette = color::load_palette(context.catalog_dir);
    if (!palette) {
      context.exit_code = report(palette.error());
      return;
    }
    const std::string text = options->json ? json_of(*catalog, *palette).dump(2) + "\n"
                                           : catalog::sources_markdown(*catalog) + color::sources_markdown(*palette);
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
