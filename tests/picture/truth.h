// The rendered pairs: a photo, its zone, and the same scene rendered again in the wanted colour.
#pragma once

#include <gtest/gtest.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "color/difference.h"
#include "picture/photo.h"
#include "picture/recolor.h"

namespace tackcloth::picture {

inline std::filesystem::path truth_dir() { return std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "tests/picture/truth"; }

inline std::vector<std::vector<std::string>> csv_rows(const std::string& name) {
  std::ifstream file(truth_dir() / name);
  EXPECT_TRUE(file) << name;
  std::vector<std::vector<std::string>> rows;
  std::string line, cell;
  std::getline(file, line);
  while (std::getline(file, line)) {
    rows.emplace_back();
    std::istringstream in(line);
    while (std::getline(in, cell, ',')) rows.back().push_back(cell);
  }
  return rows;
}

struct Pair {
  std::string name, before, after, scene;
  bool held_out = false, clear = false;
  Sheen sheen = Sheen::unknown;
  color::Lab from, to;
};

inline color::Lab mean_color(const Image& image) {
  color::LinearRgb sum;
  for (std::size_t i = 0; i < image.pixels(); ++i) {
    sum.r += color::decode_srgb(image.rgb[3 * i] / 255.0);
    sum.g += color::decode_srgb(image.rgb[3 * i + 1] / 255.0);
    sum.b += color::decode_srgb(image.rgb[3 * i + 2] / 255.0);
  }
  const double n = static_cast<double>(image.pixels());
  return color::lab_from_linear_rgb({sum.r / n, sum.g / n, sum.b / n});
}

inline Image picture_of(const std::string& name) {
  auto photo = load(truth_dir() / (name + ".png"));
  EXPECT_TRUE(photo) << (photo ? "" : to_text(photo.error()));
  return photo ? std::move(photo->image) : Image(1, 1);
}

inline Mask mask_of(const std::string& scene) { return mask_from(picture_of("mask_" + scene)); }

inline std::vector<Pair> pairs() {
  std::map<std::string, color::Lab> colors;
  std::map<std::string, std::string> scenes;
  std::map<std::string, Sheen> sheens;
  for (const auto& row : csv_rows("images.csv")) {
    scenes[row[0]] = row[1];
    sheens[row[0]] = row[7] == "2" ? Sheen::gloss : row[7] == "1" ? Sheen::satin : Sheen::matt;
    colors[row[0]] = row[3] == "1" ? mean_color(picture_of("swatch_pale_wood"))
                     : row[3] == "2"
                         ? mean_color(picture_of("swatch_dark_wood"))
                         : color::lab_from_linear_rgb({std::stod(row[4]), std::stod(row[5]), std::stod(row[6])});
  }
  std::vector<Pair> out;
  for (const auto& row : csv_rows("pairs.csv"))
    out.push_back({row[1] + " -> " + row[2], row[1], row[2], scenes[row[1]], row[0] == "held_out", row[3] == "clear",
                   sheens[row[1]], colors[row[1]], colors[row[2]]});
  return out;
}

inline std::vector<color::Lab> labs(const Image& image, const Mask& mask, std::size_t step) {
  std::array<double, 256> linear;
  for (std::size_t i = 0; i < 256; ++i) linear[i] = color::decode_srgb(static_cast<double>(i) / 255);
  std::vector<color::Lab> out(image.pixels());
  for (std::size_t i = 0; i < out.size(); i += step)
    if (mask.cover[i] > 0)
      out[i] = color::lab_from_linear_rgb(
          {linear[image.rgb[3 * i]], linear[image.rgb[3 * i + 1]], linear[image.rgb[3 * i + 2]]});
  return out;
}

// Mean CIEDE2000 over the zone, each pixel by its coverage; every `step`th pixel.
inline double mean_difference(const Image& image, const std::vector<color::Lab>& truth, const Mask& mask,
                              std::size_t step) {
  const auto seen = labs(image, mask, step);
  double sum = 0, weight = 0;
  for (std::size_t i = 0; i < mask.cover.size(); i += step) {
    if (mask.cover[i] == 0) continue;
    sum += mask.cover[i] * color::difference_2000(seen[i], truth[i]);
    weight += mask.cover[i];
  }
  return sum / weight;
}

struct Score {
  // Colour and sheen there now given; only the colour; neither; and the hue swap.
  double told = 0, given = 0, guessed = 0, naive = 0;
};

inline Score score(const Pair& pair, std::size_t step, bool save_pictures = false) {
  const Image before = picture_of(pair.before), after = picture_of(pair.after);
  const Mask mask = mask_of(pair.scene);
  const auto truth = labs(after, mask, step);
  Options options;
  options.present = pair.clear ? Present::clear_wood : Present::paint;
  Wanted wanted;
  wanted.to = pair.to;
  Score s;
  const auto guessed = recolor(before, mask, wanted, options);
  options.from = pair.from;
  const auto given = recolor(before, mask, wanted, options);
  options.sheen = pair.sheen;
  const auto told = recolor(before, mask, wanted, options);
  EXPECT_TRUE(guessed && given && told);
  if (!guessed || !given || !told) return s;
  s.told = mean_difference(*told, truth, mask, step);
  s.given = mean_difference(*given, truth, mask, step);
  s.guessed = mean_difference(*guessed, truth, mask, step);
  s.naive = mean_difference(hue_swap(before, mask, pair.to), truth, mask, step);
  if (save_pictures) {
    EXPECT_TRUE(save(*told, std::filesystem::temp_directory_path() / (pair.before + "_" + pair.after + ".png")));
  }
  return s;
}

}  // namespace tackcloth::picture
