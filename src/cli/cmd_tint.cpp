#include <algorithm>
#include <cstdio>
#include <iostream>
#include <memory>

#include "cli/arguments.h"
#include "cli/color_json.h"
#include "cli/command.h"
#include "color/estimate.h"
#include "color/spectrum_csv.h"
#include "color/tint.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

using nlohmann::ordered_json;

struct TintCommand {
  std::string from, to, wood, clear = "acrylic_urethane", light = "D65", second = "A", wet = "100um";
  std::vector<std::string> only, without;
  int coats = 3, parts = 3;
  bool bare = false, white = false, json = false;
};

struct Asked {
  color::TintQuestion question;
  std::string light, second;
  color::Lab from, to;
  std::vector<std::string> remarks;
};

bool names_file(const std::string& text) { return text.ends_with(".csv") || text.ends_with(".tsv"); }

// A colour, or a file of reflectances: its first column.
std::optional<color::Spectrum> measured(const char* option, const std::string& text, const color::Spectrum* like,
                                        std::vector<Problem>& problems) {
  if (names_file(text)) {
    const auto samples = color::read_reflectance_file(text);
    if (samples) return samples->front().reflectance;
    problems.push_back(samples.error());
    return std::nullopt;
  }
  const auto lab = color::parse_color(text);
  if (!lab) {
    problems.push_back(about(option, lab.error()));
    return std::nullopt;
  }
  const auto spectrum = color::estimate_reflectance(*lab, color::standard_viewer(), like);
  if (spectrum) return *spectrum;
  problems.push_back(about(option, spectrum.error()));
  return std::nullopt;
}

// By the binder's name, or by a product of the catalogue.
const color::Clear* clear_of(const std::string& name, const color::Palette& palette, const std::string& catalog_dir,
                             std::vector<Problem>& problems) {
  if (const auto* clear = palette.clear(name)) return clear;
  if (const auto catalog = catalog::load_catalog(catalog_dir))
    if (const auto* product = find_product(*catalog, name))
      if (const auto* clear = palette.clear(catalog::to_text(product->binder))) return clear;
  std::string all;
  for (const auto& c : palette.clears) all += (all.empty() ? "" : ", ") + c.id;
  problems.push_back({"", 0, 0, "--clear: there is no clear '" + name + "'",
                      "a clear of the catalogue, or one of " + all, "name the binder it says on the can"});
  return nullptr;
}

void choose_colorants(const TintCommand& command, const color::Palette& palette, Asked& asked,
                      std::vector<Problem>& problems) {
  for (const auto* list : {&command.only, &command.without})
    for (const std::string& id : *list)
      if (!palette.colorant(id)) {
        std::string all;
        for (const auto& c : palette.colorants) all += (all.empty() ? "" : ", ") + c.id;
        problems.push_back(
            {"", 0, 0, "there is no colourant '" + id + "'", "one of " + all, "see catalog/color/colorants.toml"});
      }
  const auto has = [](const std::vector<std::string>& list, const std::string& id) {
    return std::find(list.begin(), list.end(), id) != list.end();
  };
  for (const auto& c : palette.colorants) {
    // White clouds a clear: only when asked for.
    if (c.id == "white_titanium" && !command.white && !has(command.only, c.id)) continue;
    if (!command.only.empty() && !has(command.only, c.id)) continue;
    if (!has(command.without, c.id)) asked.question.colorants.push_back(&c);
  }
}

Results<Asked> read_arguments(const TintCommand& command, const color::Palette& palette,
                              const std::string& catalog_dir) {
  Asked asked;
  std::vector<Problem> problems;
  auto& q = asked.question;
  q.clear = clear_of(command.clear, palette, catalog_dir, problems);
  q.most_coats = command.coats;
  q.most_parts = command.parts;
  double wet_mm = 0.1;
  take("--wet", command.wet, units::parse_length_mm, wet_mm, problems);
  q.wet_um = 1000 * wet_mm;
  choose_colorants(command, palette, asked, problems);
  if (!q.clear) return tl::unexpected(problems);

  // The wood's own shape of reflectance, bare or under the clear, to estimate by.
  std::optional<color::Spectrum> shape;
  if (!command.wood.empty()) {
    if (const auto* wood = palette.wood(command.wood)) {
      shape = *color::estimate_reflectance(wood->bare, color::standard_viewer());
      if (!command.bare) shape = color::cleared(*shape, *q.clear, q.clear->coat_um * 2);
    } else {
      std::string all;
      for (const auto& w : palette.woods) all += (all.empty() ? "" : ", ") + w.id;
      problems.push_back({"", 0, 0, "--wood: there is no wood '" + command.wood + "'", "one of " + all, "oak_white"});
    }
  }
  std::optional<color::Spectrum> from;
  if (!command.from.empty()) {
    from = measured("--from", command.from, shape ? &*shape : nullptr, problems);
  } else if (shape) {
    from = shape;
    asked.remarks.push_back("The wood's colour is a usual one from memory, not yours: measure the patch.");
  } else {
    problems.push_back({"", 0, 0, "--from is missing",
                        "the patch as measured: lab(L a b), #rrggbb or a CSV of reflectances",
                        "or --wood oak_white for a usual one"});
  }
  if (!from || !problems.empty()) {
    if (problems.empty()) problems.push_back({"", 0, 0, "no colour to start from", "--from", ""});
    return tl::unexpected(problems);
  }
  q.from = command.bare ? color::cleared(*from, *q.clear, q.clear->coat_um * 2) : *from;
  if (const auto to = measured("--to", command.to, &q.from, problems)) q.to = *to;
  if (!problems.empty()) return tl::unexpected(problems);
  if (names_file(command.to)) q.spectral_weight = 0.2;
  asked.from = color::standard_viewer().lab(q.from);
  asked.to = color::standard_viewer().lab(q.to);
  if (command.bare)
    asked.remarks.push_back("What the clear does to the bare wood is a model: measure a cleared test board.");
  return asked;
}

ordered_json look(const color::TintLook& look) {
  return {{"light", look.light},
          {"from", to_json(look.from)},
          {"to", to_json(look.to)},
          {"predicted", to_json(look.predicted)},
          {"de00_before", look.de00_before},
          {"de00_after", look.de00_after}};
}

ordered_json json_of(const Asked& asked, const color::TintRecipe& r) {
  ordered_json json;
  json["colorants"] = ordered_json::array();
  for (const auto& part : r.parts)
    json["colorants"].push_back({{"id", part.colorant->id},
                                 {"name", part.colorant->name},
                                 {"g_per_l", part.g_per_l},
                                 {"drops_per_l", part.drops_per_l},
                                 {"share_of_limit", part.share_of_limit}});
  json["clear"] = asked.question.clear->id;
  json["coats"] = r.coats;
  json["wet_um"] = r.wet_um;
  json["from"] = to_json(asked.from);
  json["to"] = to_json(asked.to);
  json["predicted"] = to_json(color::standard_viewer().lab(r.predicted));
  json["de00_before"] = r.first.de00_before;
  json["de00_after"] = r.first.de00_after;
  json["lights"] = {look(r.first), look(r.second)};
  json["sensitivity"] = {
      {"per_l", r.per_l}, {"per_a", r.per_a}, {"per_b", r.per_b}, {"per_film_20_percent", r.per_film}};
  json["cloud"] = r.cloud;
  json["warnings"] = asked.remarks;
  for (const auto& warning : r.warnings) json["warnings"].push_back(warning);
  json["steps"] = r.steps;
  json["basis"] = "model";
  return json;
}

void print_text(const Asked& asked, const color::TintRecipe& r) {
  if (r.parts.empty()) {
    std::printf("nothing to stir in\n");
  } else {
    std::printf("into 1 l of %s\n", asked.question.clear->name.c_str());
    for (const auto& part : r.parts)
      std::printf("  %8.3f g  %7.1f drops  %s (%.0f %% of what it carries)\n", part.g_per_l, part.drops_per_l,
                  part.colorant->name.c_str(), 100 * part.share_of_limit);
    std::printf("%d coat%s of %.0f um wet\n", r.coats, r.coats == 1 ? "" : "s", r.wet_um);
  }
  for (const auto* seen : {&r.first, &r.second})
    std::printf("%-7s off by %.2f before, %.2f after  (%s to %s, wanted %s)\n", seen->light.c_str(), seen->de00_before,
                seen->de00_after, color::to_css(seen->from).c_str(), color::to_css(seen->predicted).c_str(),
                color::to_css(seen->to).c_str());
  if (!r.parts.empty())
    std::printf("measured wrong by 1: in L moves it by %.2f, in a %.2f, in b %.2f; film a fifth off %.2f\n", r.per_l,
                r.per_a, r.per_b, r.per_film);
  for (const auto& remark : asked.remarks) std::printf("\nmind: %s\n", remark.c_str());
  for (const auto& warning : r.warnings) std::printf("\nmind: %s\n", warning.c_str());
  std::printf("\n");
  int n = 0;
  for (const auto& step : r.steps) std::printf("%d. %s\n", ++n, step.c_str());
  std::printf("\nThe colourants are models of their kind, not the ones in your bottle: the test board decides.\n");
}

int run(const TintCommand& command, const Context& context) {
  const auto palette = color::load_palette(context.catalog_dir);
  if (!palette) return report(palette.error());
  const auto asked = read_arguments(command, *palette, context.catalog_dir);
  if (!asked) return report(asked.error());
  const auto light = color::light_named(command.light), second = color::light_named(command.second);
  if (!light) return report({about("--light", light.error())});
  if (!second) return report({about("--second", second.error())});
  const auto recipe = color::tint(asked->question, color::Viewer(*light), color::Viewer(*second));
  if (!recipe) return report({recipe.error()});
  if (command.json)
    std::cout << json_of(*asked, *recipe).dump(2) << "\n";
  else
    print_text(*asked, *recipe);
  return fine;
}

}  // namespace

void add_tint(CLI::App& app, Context& context) {
  auto command = std::make_shared<TintCommand>();
  CLI::App* sub = app.add_subcommand("tint", "What to stir into a clear to bring a patch of wood to a wanted colour");
  sub->add_option("--from", command->from, "the patch, measured under a dry clear: lab(62 14 30), #rrggbb, or a CSV");
  sub->add_option("--to", command->to, "the wanted look, likewise")->required();
  sub->add_option("--wood", command->wood, "its species, for the shape of its reflectance: oak_white");
  sub->add_option("--clear", command->clear, "the clear that is tinted: a product, or its binder")
      ->capture_default_str();
  sub->add_flag("--bare", command->bare, "the patch was measured bare: the clear's own deepening is added");
  sub->add_option("--light", command->light, "light it is matched under")->capture_default_str();
  sub->add_option("--second", command->second, "and the other it should hold under: A, LED-B1, LED-B3")
      ->capture_default_str();
  sub->add_option("--wet", command->wet, "wet film of one tinted coat")->capture_default_str();
  sub->add_option("--coats", command->coats, "at most so many tinted coats")->capture_default_str();
  sub->add_option("--parts", command->parts, "at most so many colourants")->capture_default_str();
  sub->add_option("--only", command->only, "colourants on the shelf, by id")->delimiter(',');
  sub->add_option("--without", command->without, "colourants to leave out, by id")->delimiter(',');
  sub->add_flag("--white", command->white, "titanium white may be used: it clouds the grain");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { context.exit_code = run(*command, context); });
}

}  // namespace tackcloth::cli
