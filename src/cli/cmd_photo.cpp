// mask, flatten and balance: a zone by taps, a face seen straight on, a photo put right by a card or a chart.
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/command.h"
#include "cli/picture_arguments.h"
#include "picture/chart.h"
#include "picture/find.h"
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

// What the photo was balanced by, and where it is.
struct Balanced {
  picture::Calibration by;
  const char* kind = "chart";
  bool given = true;  // its place was tapped; otherwise `found` tells
  picture::Found found;
};

Result<Balanced> by_chart(const picture::Image& photo, const std::vector<color::Lab>& table, const Balanced& at) {
  const auto& corners = at.found.corners;
  return (table.empty() ? picture::fit_neutral_row(photo, corners, at.found.left_out)
                        : picture::fit_chart(photo, corners, table, at.found.left_out))
      .map([&](picture::Calibration&& by) {
        Balanced out = at;
        out.by = std::move(by);
        return out;
      });
}

Result<Balanced> by_card(const picture::Image& photo, shape::Point place, double reflectance, const Balanced& at) {
  return picture::fit_grey(photo, place, reflectance).map([&](picture::Calibration&& by) {
    Balanced out = at;
    out.by = std::move(by);
    out.kind = "grey card";
    return out;
  });
}

Result<Balanced> balanced_by_itself(const BalanceCommand& command, const picture::Image& photo,
                                    const std::vector<color::Lab>& table) {
  const auto chart = picture::find_chart(photo, table);
  if (chart) return by_chart(photo, table, {{}, "chart", false, *chart});
  if (!table.empty()) return tl::unexpected(chart.error());
  const auto card = picture::find_grey_card(photo);
  if (!card)
    return tl::unexpected(Problem{"", 0, 0, chart.error().what + "; " + card.error().what, chart.error().expected,
                                  "tap the card with --grey x,y, or the chart's corners with --corners"});
  const auto& c = card->corners;
  const shape::Point middle{(c[0].x + c[1].x + c[2].x + c[3].x) / 4, (c[0].y + c[1].y + c[2].y + c[3].y) / 4};
  return by_card(photo, middle, command.reflectance, {{}, "grey card", false, *card});
}

Result<Balanced> balance(const BalanceCommand& command, const picture::Image& photo) {
  if (!command.grey.empty() && !(command.chart.empty() && command.corners.empty()))
    return tl::unexpected(Problem{"", 0, 0, "a card and a chart are both pointed at", "one of them",
                                  "leave out --grey, or --chart and --corners"});
  if (!command.grey.empty())
    return parse_place(command.grey).and_then([&](shape::Point at) {
      Balanced tapped;
      tapped.found.corners.fill(at);
      return by_card(photo, at, command.reflectance, tapped);
    });
  std::vector<color::Lab> table;
  if (!command.chart.empty()) {
    auto read = picture::read_chart(command.chart);
    if (!read) return tl::unexpected(read.error());
    table = std::move(*read);
  }
  if (command.corners.empty()) return balanced_by_itself(command, photo, table);
  return parse_corners(command.corners).and_then([&](const picture::Corners& corners) {
    Balanced tapped;
    tapped.found.corners = corners;
    return by_chart(photo, table, tapped);
  });
}

nlohmann::ordered_json json_of(const picture::Corners& corners) {
  auto out = nlohmann::ordered_json::array();
  for (const auto& p : corners) out.push_back({std::round(p.x * 10) / 10, std::round(p.y * 10) / 10});
  return out;
}

// Where it is and how sure that is; of a tapped one only where.
nlohmann::ordered_json target_json(const Balanced& is) {
  nlohmann::ordered_json out{{"kind", is.kind}, {"given", is.given}};
  if (is.given && std::string_view(is.kind) == "grey card") {
    out["place"] = {is.found.corners[0].x, is.found.corners[0].y};
    return out;
  }
  out["corners"] = json_of(is.found.corners);
  if (is.given) return out;
  out["confidence"] = is.found.confidence;
  out["fit_error"] = is.found.fit_error;
  if (is.found.squares > 0) {
    out["squares_seen"] = is.found.squares;
    out["left_out"] = is.found.left_out;
  }
  out["others"] = nlohmann::ordered_json::array();
  for (const auto& other : is.found.others)
    out["others"].push_back({{"corners", json_of(other.corners)}, {"confidence", other.confidence}});
  return out;
}

void print_target(const Balanced& is) {
  if (is.given) return;
  std::printf("found by itself: a %s at", is.kind);
  for (const auto& p : is.found.corners) std::printf(" %.0f,%.0f", p.x, p.y);
  std::printf(" (confidence %.2f", is.found.confidence);
  if (is.found.squares > 0)
    std::printf(", %d of 24 squares seen, off their lattice by %.1f %% of a cell", is.found.squares,
                100 * is.found.fit_error);
  std::printf("); see that it is one\n");
  for (const auto& other : is.found.others)
    std::printf("note: another may be at %.0f,%.0f (confidence %.2f)\n", other.corners[0].x, other.corners[0].y,
                other.confidence);
}

int run(const BalanceCommand& command) {
  if (const auto sound = check_out(command.out, {command.photo, command.chart}); !sound) return report({sound.error()});
  const auto photo = picture::load(command.photo);
  if (!photo) return report({photo.error()});
  auto done = balance(command, photo->image);
  if (!done) return report({done.error()});
  auto& fit = done->by;
  if (const auto saved = picture::save(picture::corrected(photo->image, fit), command.out); !saved)
    return report({saved.error()});
  fit.warnings.insert(fit.warnings.end(), photo->notes.begin(), photo->notes.end());
  if (command.json) {
    std::cout << nlohmann::ordered_json{{"out", command.out},           {"target", target_json(*done)},
                                        {"patches", fit.patches},       {"mean_de00", fit.mean_de00},
                                        {"worst_de00", fit.worst_de00}, {"before_mean_de00", fit.before_mean_de00},
                                        {"matrix", fit.matrix},         {"warnings", fit.warnings}}
                     .dump(2)
              << "\n";
    return fine;
  }
  print_target(*done);
  if (fit.patches > 6)
    std::printf("%s: %d patches, mean ΔE00 %.2f (was %.2f), worst %.2f\n", command.out.c_str(), fit.patches,
                fit.mean_de00, fit.before_mean_de00, fit.worst_de00);
  else if (fit.patches > 1)
    std::printf("%s: balanced by the chart's neutral row, off neutral by a mean ΔE00 of %.2f (was %.2f)\n",
                command.out.c_str(), fit.mean_de00, fit.before_mean_de00);
  else
    std::printf("%s: balanced by a grey card\n", command.out.c_str());
  for (const auto& warning : fit.warnings) std::printf("note: %s\n", warning.c_str());
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
  sub = app.add_subcommand("balance",
                           "A photo's colours put right by a grey card or a chart of 24 patches in it, found by itself "
                           "unless it is pointed at");
  sub->add_option("photo", balance->photo, "JPEG, PNG or HEIC; it is not altered")->required();
  sub->add_option("--grey", balance->grey, "a place on a grey card, if it is not found by itself: x,y");
  sub->add_option("--reflectance", balance->reflectance, "of that card")->capture_default_str();
  sub->add_option(
      "--chart", balance->chart,
      "the chart's table: 24 lines of L,a,b under D50, row by row; without it only the light's cast is taken out");
  sub->add_option("--corners", balance->corners,
                  "of the chart, if it is not found by itself, from its first patch: x,y;x,y;x,y;x,y");
  sub->add_option("-o,--out", balance->out, "picture to write: .png or .jpg")->required();
  sub->add_flag("--json", balance->json, "one JSON object instead of text");
  sub->callback([balance, &context] { context.exit_code = run(*balance); });
}

}  // namespace tackcloth::cli
