#include <chrono>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/command.h"
#include "cli/picture_arguments.h"
#include "color/css.h"
#include "color/difference.h"
#include "picture/fabric.h"
#include "picture/photo.h"
#include "picture/recolor.h"

namespace tackcloth::cli {

namespace {

struct RecolorCommand {
  std::string photo, mask, to, from, out, fabric, corners, size, sheen;
  double repeat_mm = 0;
  bool from_clear = false, metal = false, json = false;
};

double seconds_since(std::chrono::steady_clock::time_point from) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

Problem about_option(const char* option, Problem problem) {
  problem.what = std::string(option) + ": " + problem.what;
  return problem;
}

struct Work {
  picture::Photo photo;
  picture::Mask mask;
  picture::Wanted wanted;
  picture::Options options;
  picture::Cloth cloth;
  double de00_shown = 0;
  std::vector<std::string> warnings;
};

// The face the cloth lies on: as tapped and measured; else the zone's own box taken for 500 mm, straight on.
Result<void> lay_cloth(const RecolorCommand& command, Work& work) {
  const auto swatch = picture::load(command.fabric);
  if (!swatch) return tl::unexpected(swatch.error());
  picture::Cloth& cloth = work.cloth;
  cloth.swatch = swatch->image;
  cloth.repeat_mm = command.repeat_mm;
  cloth.photo_width = work.photo.image.width;
  cloth.photo_height = work.photo.image.height;
  picture::Corners corners;
  FaceSize size;
  if (!command.corners.empty() && !command.size.empty()) {
    const auto places = parse_corners(command.corners);
    if (!places) return tl::unexpected(about_option("--corners", places.error()));
    const auto measured = parse_face_size(command.size);
    if (!measured) return tl::unexpected(about_option("--size", measured.error()));
    corners = *places;
    size = *measured;
  } else {
    int x0 = work.mask.width, x1 = 0, y0 = work.mask.height, y1 = 0;
    for (int y = 0; y < work.mask.height; ++y)
      for (int x = 0; x < work.mask.width; ++x)
        if (work.mask.at(x, y) >= 128) {
          x0 = std::min(x0, x);
          x1 = std::max(x1, x + 1);
          y0 = std::min(y0, y);
          y1 = std::max(y1, y + 1);
        }
    x1 = std::max(x1, x0 + 10);
    y1 = std::max(y1, y0 + 10);
    const auto at = [](int x, int y) { return shape::Point{static_cast<double>(x), static_cast<double>(y)}; };
    corners = {at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)};
    size = {500, 500.0 * (y1 - y0) / (x1 - x0)};
    work.warnings.push_back(
        "the cloth's scale is a guess: the zone is taken for 500 mm wide, seen straight on; give --corners and --size");
  }
  const auto face = picture::face_from_corners(corners, size.width_mm, size.height_mm);
  if (!face) return tl::unexpected(face.error());
  cloth.face = *face;
  if (const auto sound = picture::check(cloth); !sound)
    return tl::unexpected(about_option("--repeat-mm", sound.error()));
  work.wanted.surface = picture::Surface::cloth;
  work.wanted.cloth = &cloth;
  return {};
}

Result<void> read_colors(const RecolorCommand& command, Work& work) {
  if (command.to.empty() == command.fabric.empty())
    return tl::unexpected(Problem{
        "", 0, 0, command.to.empty() ? "nothing says what the zone shall be" : "both --to and --to-fabric are given",
        "--to COLOUR, or --to-fabric SWATCH --repeat-mm N", "give one of them"});
  if (!command.to.empty()) {
    const auto to = color::parse_color(command.to);
    if (!to) return tl::unexpected(about_option("--to", to.error()));
    work.wanted.to = color::lab_from_linear_rgb(color::map_to_gamut(color::linear_rgb_from_lab(*to)));
    work.de00_shown = color::difference_2000(*to, work.wanted.to);
    if (work.de00_shown > 0.5)
      work.warnings.push_back("a screen cannot show this colour: what is shown is off by a ΔE00 of " +
                              std::to_string(work.de00_shown).substr(0, 4));
    if (command.metal) work.wanted.surface = picture::Surface::metal;
  }
  if (!command.from.empty()) {
    const auto from = color::parse_color(command.from);
    if (!from) return tl::unexpected(about_option("--from", from.error()));
    work.options.from = *from;
  } else {
    work.warnings.push_back(
        "the colour there now is not known (--from): the strength of the light is guessed from the "
        "surroundings, and the new colour may come out too light or too dark");
  }
  work.options.present = command.from_clear ? picture::Present::clear_wood : picture::Present::paint;
  if (command.sheen == "matt") work.options.sheen = picture::Sheen::matt;
  if (command.sheen == "satin") work.options.sheen = picture::Sheen::satin;
  if (command.sheen == "gloss") work.options.sheen = picture::Sheen::gloss;
  return {};
}

int run(const RecolorCommand& command) {
  if (const auto sound = check_out(command.out, {command.photo, command.mask, command.fabric}); !sound)
    return report({sound.error()});
  Work work;
  auto start = std::chrono::steady_clock::now();
  if (const auto colors = read_colors(command, work); !colors) return report({colors.error()});
  auto photo = picture::load(command.photo);
  if (!photo) return report({photo.error()});
  work.photo = std::move(*photo);
  auto mask = picture::load_mask(command.mask);
  if (!mask) return report({mask.error()});
  work.mask = std::move(*mask);
  work.warnings.insert(work.warnings.end(), work.photo.notes.begin(), work.photo.notes.end());
  if (!command.fabric.empty())
    if (const auto laid = lay_cloth(command, work); !laid) return report({laid.error()});
  const double loading = seconds_since(start);
  start = std::chrono::steady_clock::now();
  const auto zone = picture::separate(work.photo.image, work.mask, work.options);
  if (!zone) return report({about_option(command.mask.c_str(), zone.error())});
  const auto painted = picture::repaint(work.photo.image, work.mask, *zone, work.wanted, work.options.threads);
  const double painting = seconds_since(start);
  start = std::chrono::steady_clock::now();
  if (const auto saved = picture::save(painted, command.out); !saved) return report({saved.error()});
  const double saving = seconds_since(start);
  const color::Lab now = color::lab_from_linear_rgb(zone->albedo_now);
  if (command.json) {
    nlohmann::ordered_json json{{"out", command.out},
                                {"width", painted.width},
                                {"height", painted.height},
                                {"from", {now.l, now.a, now.b}},
                                {"from_guessed", zone->light_guessed},
                                {"de00_shown", work.de00_shown},
                                {"seconds", {{"load", loading}, {"recolor", painting}, {"save", saving}}},
                                {"warnings", work.warnings}};
    if (!command.to.empty()) json["to"] = {work.wanted.to.l, work.wanted.to.a, work.wanted.to.b};
    std::cout << json.dump(2) << "\n";
    return fine;
  }
  std::printf("%s: %d x %d pixels, painted in %.2f s (read %.2f s, written %.2f s)\n", command.out.c_str(),
              painted.width, painted.height, painting, loading, saving);
  std::printf("there now: %s%s\n", color::to_css(now).c_str(), zone->light_guessed ? " (a guess)" : "");
  for (const auto& warning : work.warnings) std::printf("note: %s\n", warning.c_str());
  return fine;
}

}  // namespace

void add_recolor(CLI::App& app, Context& context) {
  auto command = std::make_shared<RecolorCommand>();
  CLI::App* sub =
      app.add_subcommand("recolor", "A zone of a photo in another colour or cloth, in the photo's own light");
  sub->add_option("photo", command->photo, "JPEG, PNG or HEIC; it is not altered")->required();
  sub->add_option("--mask", command->mask, "picture of the photo's size: white is the zone")->required();
  sub->add_option("--to", command->to, "colour as measured: lab(L a b) of D50, #rrggbb");
  sub->add_option("--from", command->from, "colour there now, as measured; of wood, its mean");
  sub->add_option("--sheen", command->sheen, "of what is there now")->check(CLI::IsMember({"matt", "satin", "gloss"}));
  sub->add_flag("--from-clear", command->from_clear, "bare or clear-coated wood is there now: its grain goes");
  sub->add_flag("--metal", command->metal, "--to is the tint of a metal");
  sub->add_option("--to-fabric", command->fabric, "photo of one pattern repeat of a cloth, straight on");
  sub->add_option("--repeat-mm", command->repeat_mm, "width of that repeat in millimetres");
  sub->add_option("--corners", command->corners,
                  "of the face, in pixels: top left; top right; bottom right; bottom left as x,y;x,y;x,y;x,y");
  sub->add_option("--size", command->size, "of the face: 600x400mm");
  sub->add_option("-o,--out", command->out, "picture to write: .png or .jpg")->required();
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { context.exit_code = run(*command); });
}

}  // namespace tackcloth::cli
