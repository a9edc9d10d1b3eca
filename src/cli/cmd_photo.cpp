// mask, flatten and balance: a zone by taps, a face seen straight on, a photo put right by a card or a chart.
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/command.h"
#include "cli/picture_arguments.h"
#include "picture/chart.h"
#include "picture/photo.h"
#include "picture/pick.h"

namespace tackcloth::cli {

namespace {

struct MaskCommand {
  std::string photo, out;
  std::vector<std::string> on, off;
  bool json = false;
};

struct FlattenCommand {
  std::string photo, out, corners, size;
  double pixels_per_mm = 0;
  bool json = false;
};

struct BalanceCommand {
  std::string photo, out, grey, chart, corners;
  double reflectance = 0.18;
  bool json = false;
};

int run(const MaskCommand& command) {
  if (const auto sound = check_out(command.out, {command.photo}); !sound) return report({sound.error()});
  picture::Taps taps;
  std::vector<Problem> problems;
  const auto read = [&](const std::vector<std::string>& texts, std::vector<shape::Point>& to) {
    for (const auto& text : texts) {
      if (const auto place = parse_place(text))
        to.push_back(*place);
      else
        problems.push_back(place.error());
    }
  };
  read(command.on, taps.on);
  read(command.off, taps.off);
  if (!problems.empty()) return report(problems);
  const auto photo = picture::load(command.photo);
  if (!photo) return report({photo.error()});
  const auto mask = picture::pick_zone(photo->image, taps);
  if (!mask) return report({mask.error()});
  if (const auto saved = picture::save(*mask, command.out); !saved) return report({saved.error()});
  double covered = 0;
  for (const auto v : mask->cover) covered += v / 255.0;
  const double share = covered / static_cast<double>(mask->cover.size());
  if (command.json)
    std::cout << nlohmann::ordered_json{{"out", command.out},
                                        {"width", mask->width},
                                        {"height", mask->height},
                                        {"share", share},
                                        {"warnings", photo->notes}}
                     .dump(2)
              << "\n";
  else
    std::printf("%s: the zone is %.1f %% of the photo\n", command.out.c_str(), 100 * share);
  return fine;
}

int run(const FlattenCommand& command) {
  if (const auto sound = check_out(command.out, {command.photo}); !sound) return report({sound.error()});
  const auto corners = parse_corners(command.corners);
  if (!corners) return report({corners.error()});
  const auto size = parse_face_size(command.size);
  if (!size) return report({size.error()});
  const auto face = picture::face_from_corners(*corners, size->width_mm, size->height_mm);
  if (!face) return report({face.error()});
  const auto photo = picture::load(command.photo);
  if (!photo) return report({photo.error()});
  // As fine as the photo's longer sides are.
  const auto side = [&](std::size_t a, std::size_t b) {
    return std::hypot((*corners)[a].x - (*corners)[b].x, (*corners)[a].y - (*corners)[b].y);
  };
  const double fine_enough = std::min(
      std::max(std::max(side(0, 1), side(2, 3)) / size->width_mm, std::max(side(1, 2), side(3, 0)) / size->height_mm),
      4000 / std::max(size->width_mm, size->height_mm));
  const double scale = command.pixels_per_mm > 0 ? command.pixels_per_mm : fine_enough;
  const auto flat = picture::flatten_face(photo->image, *face, scale);
  if (!flat) return report({flat.error()});
  if (const auto saved = picture::save(*flat, command.out); !saved) return report({saved.error()});
  if (command.json)
    std::cout << nlohmann::ordered_json{{"out", command.out},
                                        {"width", flat->width},
                                        {"height", flat->height},
                                        {"pixels_per_mm", scale},
                                        {"homography", face->to_photo.h},
                                        {"warnings", photo->notes}}
                     .dump(2)
              << "\n";
  else
    std::printf("%s: %d x %d pixels, %.3f a millimetre\n", command.out.c_str(), flat->width, flat->height, scale);
  return fine;
}

Result<picture::Calibration> calibration_of(const BalanceCommand& command, const picture::Image& photo) {
  if (command.grey.empty() == command.chart.empty())
    return tl::unexpected(Problem{"", 0, 0, "nothing known is pointed at, or two things", "--grey x,y or --chart FILE",
                                  "tap a grey card, or give a chart's table and its --corners"});
  if (!command.grey.empty())
    return parse_place(command.grey).and_then([&](shape::Point at) {
      return picture::fit_grey(photo, at, command.reflectance);
    });
  const auto table = picture::read_chart(command.chart);
  if (!table) return tl::unexpected(table.error());
  return parse_corners(command.corners).and_then([&](const picture::Corners& corners) {
    return picture::fit_chart(photo, corners, *table);
  });
}

int run(const BalanceCommand& command) {
  if (const auto sound = check_out(command.out, {command.photo, command.chart}); !sound) return report({sound.error()});
  const auto photo = picture::load(command.photo);
  if (!photo) return report({photo.error()});
  auto fit = calibration_of(command, photo->image);
  if (!fit) return report({fit.error()});
  if (const auto saved = picture::save(picture::corrected(photo->image, *fit), command.out); !saved)
    return report({saved.error()});
  fit->warnings.insert(fit->warnings.end(), photo->notes.begin(), photo->notes.end());
  if (command.json) {
    std::cout << nlohmann::ordered_json{{"out", command.out},
                                        {"patches", fit->patches},
                                        {"mean_de00", fit->mean_de00},
                                        {"worst_de00", fit->worst_de00},
                                        {"before_mean_de00", fit->before_mean_de00},
                                        {"matrix", fit->matrix},
                                        {"warnings", fit->warnings}}
                     .dump(2)
              << "\n";
    return fine;
  }
  if (fit->patches > 1)
    std::printf("%s: %d patches, mean ΔE00 %.2f (was %.2f), worst %.2f\n", command.out.c_str(), fit->patches,
                fit->mean_de00, fit->before_mean_de00, fit->worst_de00);
  else
    std::printf("%s: balanced by a grey card\n", command.out.c_str());
  for (const auto& warning : fit->warnings) std::printf("note: %s\n", warning.c_str());
  return fine;
}

}  // namespace

void add_photo(CLI::App& app, Context& context) {
  auto mask = std::make_shared<MaskCommand>();
  CLI::App* sub = app.add_subcommand("mask", "The zone of a photo around a few taps, as a mask");
  sub->add_option("photo", mask->photo, "JPEG, PNG or HEIC; it is not altered")->required();
  sub->add_option("--tap", mask->on, "a place in the zone, repeatable: x,y in pixels of the upright photo")->required();
  sub->add_option("--not", mask->off, "a place that is not in it, repeatable");
  sub->add_option("-o,--out", mask->out, "mask to write: .png")->required();
  sub->add_flag("--json", mask->json, "one JSON object instead of text");
  sub->callback([mask, &context] { context.exit_code = run(*mask); });

  auto flatten = std::make_shared<FlattenCommand>();
  sub = app.add_subcommand("flatten", "A face of a photo seen straight on, at its measured size");
  sub->add_option("photo", flatten->photo, "JPEG, PNG or HEIC; it is not altered")->required();
  sub->add_option("--corners", flatten->corners,
                  "in pixels: top left; top right; bottom right; bottom left as x,y;x,y;x,y;x,y")
      ->required();
  sub->add_option("--size", flatten->size, "measured width and height: 600x400mm, 24x16in")->required();
  sub->add_option("--pixels-per-mm", flatten->pixels_per_mm, "how fine; as the photo if left out");
  sub->add_option("-o,--out", flatten->out, "picture to write: .png or .jpg")->required();
  sub->add_flag("--json", flatten->json, "one JSON object instead of text");
  sub->callback([flatten, &context] { context.exit_code = run(*flatten); });

  auto balance = std::make_shared<BalanceCommand>();
  sub = app.add_subcommand("balance", "A photo's colours put right by a grey card or a chart of 24 patches in it");
  sub->add_option("photo", balance->photo, "JPEG, PNG or HEIC; it is not altered")->required();
  sub->add_option("--grey", balance->grey, "a place on a grey card: x,y");
  sub->add_option("--reflectance", balance->reflectance, "of that card")->capture_default_str();
  sub->add_option("--chart", balance->chart, "the chart's table: 24 lines of L,a,b under D50, row by row");
  sub->add_option("--corners", balance->corners, "of the chart in the photo, from its first patch: x,y;x,y;x,y;x,y");
  sub->add_option("-o,--out", balance->out, "picture to write: .png or .jpg")->required();
  sub->add_flag("--json", balance->json, "one JSON object instead of text");
  sub->callback([balance, &context] { context.exit_code = run(*balance); });
}

}  // namespace tackcloth::cli
