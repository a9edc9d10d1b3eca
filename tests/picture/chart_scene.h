// Photos with a chart or a card in them, made here: a plane with patches as a pinhole camera sees it, in a light of its
// own, laid over another picture; unevenly lit, partly covered, unsharp and noisy. Everything from one seed.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>
#include <random>
#include <vector>

#include "color/space.h"
#include "picture/image.h"
#include "picture/perspective.h"

namespace tackcloth::picture {

// 24 colours spread over the solid and inside sRGB, the last six grey: a chart of our own.
inline std::vector<color::Lab> own_chart() {
  std::vector<color::Lab> out;
  for (int i = 0; i < 18; ++i) {
    const double hue = i * 2.39996, l = 35 + 2.2 * ((i * 7) % 18);
    out.push_back(color::lab_from_linear_rgb(
        color::map_to_gamut(color::linear_rgb_from_lab({l, 34 * std::cos(hue), 34 * std::sin(hue)}))));
  }
  for (int i = 0; i < 6; ++i) out.push_back({92.0 - 14 * i, 0, 0});
  return out;
}

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double between(double low, double high) { return low + (high - low) * unit(); }
  int upto(int n) { return static_cast<int>(engine_() % static_cast<unsigned>(n)); }  // 0 .. n - 1
  double noise() {  // about normal: twelve uniform ones (central limit)
    double sum = -6;
    for (int i = 0; i < 12; ++i) sum += unit();
    return sum;
  }

 private:
  double unit() { return static_cast<double>(engine_()) / 4294967296.0; }
  std::mt19937 engine_;
};

// A flat thing of `width` x `height` units, y down from its top left corner.
struct Plate {
  double width = 0, height = 0;
  // Linear light at a place on it.
  std::vector<std::array<double, 3>> cells;  // row by row
  int columns = 0, rows = 0;                 // each cell one unit wide and high, inset by half the gap
  double gap = 0, rim = 0;                   // rim: around all cells
  std::array<double, 3> ground{0.03, 0.03, 0.03};

  std::array<double, 3> at(double x, double y) const {
    const double u = x - rim, v = y - rim;
    const int i = static_cast<int>(std::floor(u)), j = static_cast<int>(std::floor(v));
    if (i < 0 || j < 0 || i >= columns || j >= rows) return ground;
    if (std::abs(u - i - 0.5) > 0.5 - gap / 2 || std::abs(v - j - 0.5) > 0.5 - gap / 2) return ground;
    return cells[static_cast<std::size_t>(j * columns + i)];
  }
};

inline Plate chart_plate(const std::vector<color::Lab>& colors, double gap, double rim) {
  Plate p{6 + 2 * rim, 4 + 2 * rim, {}, 6, 4, gap, rim, {0.03, 0.03, 0.03}};
  for (const auto& lab : colors) {
    const auto v = color::linear_rgb_from_lab(lab);
    p.cells.push_back({v.r, v.g, v.b});
  }
  return p;
}

struct Pose {
  double x = 0, y = 0;                  // where its middle is in the photo
  double unit = 30;                     // pixels a unit there
  double turn = 0, yaw = 0, pitch = 0;  // radians
};

// Pinhole: the plate turned in its plane, then about the upright and the level axis, ten half-diagonals away.
inline Corners corners_of(double width, double height, const Pose& pose, bool mirrored = false) {
  Corners out;
  const std::array<std::array<double, 2>, 4> signs{{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}};
  const double far = 3 * std::hypot(width, height) / 2;
  for (std::size_t n = 0; n < 4; ++n) {
    const double px = (mirrored ? -1 : 1) * signs[n][0] * width / 2, py = signs[n][1] * height / 2;
    double x = px * std::cos(pose.turn) - py * std::sin(pose.turn);
    double y = px * std::sin(pose.turn) + py * std::cos(pose.turn), z = 0;
    const double x2 = x * std::cos(pose.yaw) + z * std::sin(pose.yaw);
    z = -x * std::sin(pose.yaw) + z * std::cos(pose.yaw);
    x = x2;
    const double y2 = y * std::cos(pose.pitch) - z * std::sin(pose.pitch);
    z = y * std::sin(pose.pitch) + z * std::cos(pose.pitch);
    y = y2;
    out[n] = {pose.x + pose.unit * x * far / (far + z), pose.y + pose.unit * y * far / (far + z)};
  }
  return out;
}

struct Camera {
  std::array<double, 9> matrix{1, 0, 0, 0, 1, 0, 0, 0, 1};
  double slope_x = 0, slope_y = 0;  // the light's change from end to end of the photo
  double blur = 0, noise = 0;       // sigma, pixels; sigma, codes
  bool whole = true;                // the whole picture seen so, not the plate alone
};

// The plate over `back`; what covers it is a disc in the plate's units.
struct Cover {
  double x = 0, y = 0, radius = 0;
};

inline Image photograph(const Image& back, const Plate& plate, const Corners& corners, const Camera& camera, Dice& dice,
                        const std::vector<Cover>& covers = {}) {
  const auto to_plate =
      homography(corners, Corners{shape::Point{0, 0}, shape::Point{plate.width, 0},
                                  shape::Point{plate.width, plate.height}, shape::Point{0, plate.height}});
  const auto through = [&](const std::array<double, 3>& v) {
    std::array<double, 3> out{};
    for (std::size_t c = 0; c < 3; ++c)
      for (std::size_t k = 0; k < 3; ++k) out[c] += camera.matrix[3 * c + k] * v[k];
    return out;
  };
  double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
  for (const auto& p : corners) {
    x0 = std::min(x0, p.x - 1);
    x1 = std::max(x1, p.x + 1);
    y0 = std::min(y0, p.y - 1);
    y1 = std::max(y1, p.y + 1);
  }
  const int w = back.width, h = back.height;
  std::vector<float> light(back.rgb.size());
  std::array<double, 256> table;
  for (std::size_t i = 0; i < 256; ++i) table[i] = color::decode_srgb(static_cast<double>(i) / 255);
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      const std::uint8_t* b = back.at(x, y);
      std::array<double, 3> behind{table[b[0]], table[b[1]], table[b[2]]};
      if (camera.whole) behind = through(behind);
      std::array<double, 3> sum{};
      int on = 0;
      constexpr int n = 3;
      const bool near = x >= x0 && x <= x1 && y >= y0 && y <= y1;
      for (int s = 0; near && s < n * n; ++s) {
        const auto p = to_plate->map({x + (s % n + 0.5) / n, y + (s / n + 0.5) / n});
        if (!(p.x >= 0 && p.y >= 0 && p.x < plate.width && p.y < plate.height)) continue;
        std::array<double, 3> v = plate.at(p.x, p.y);
        for (const auto& c : covers)
          if (std::hypot(p.x - c.x, p.y - c.y) < c.radius) v = {0.45, 0.28, 0.2};  // a hand
        v = through(v);
        for (std::size_t c = 0; c < 3; ++c) sum[c] += v[c];
        ++on;
      }
      const double lit =
          1 + camera.slope_x * (static_cast<double>(x) / w - 0.5) + camera.slope_y * (static_cast<double>(y) / h - 0.5);
      for (std::size_t c = 0; c < 3; ++c)
        light[3 * (static_cast<std::size_t>(y) * w + x) + c] =
            static_cast<float>((on > 0 ? lit : 1) * (sum[c] + (n * n - on) * behind[c]) / (n * n));
    }
  if (camera.blur > 0) {
    const int r = static_cast<int>(std::ceil(2.5 * camera.blur));
    std::vector<double> kernel;
    double total = 0;
    for (int k = -r; k <= r; ++k) {
      kernel.push_back(std::exp(-k * k / (2 * camera.blur * camera.blur)));
      total += kernel.back();
    }
    for (const bool across : {true, false}) {
      std::vector<float> out(light.size());
      for (int y = 0; y < h; ++y)
        for (int x = 0; x < w; ++x)
          for (std::size_t c = 0; c < 3; ++c) {
            double s = 0;
            for (int k = -r; k <= r; ++k) {
              const int px = across ? std::clamp(x + k, 0, w - 1) : x, py = across ? y : std::clamp(y + k, 0, h - 1);
              s += kernel[static_cast<std::size_t>(k + r)] * light[3 * (static_cast<std::size_t>(py) * w + px) + c];
            }
            out[3 * (static_cast<std::size_t>(y) * w + x) + c] = static_cast<float>(s / total);
          }
      light = std::move(out);
    }
  }
  Image out(w, h);
  for (std::size_t i = 0; i < light.size(); ++i) {
    const double code = 255 * color::encode_srgb(light[i]) + (camera.noise > 0 ? camera.noise * dice.noise() : 0);
    out.rgb[i] = static_cast<std::uint8_t>(std::lround(std::clamp(code, 0.0, 255.0)));
  }
  return out;
}

// A picture drawn larger, by bilinear samples.
inline Image enlarged(const Image& image, int width, int height) {
  Image out(width, height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const double u = std::clamp((x + 0.5) * image.width / width - 0.5, 0.0, image.width - 1.001);
      const double v = std::clamp((y + 0.5) * image.height / height - 0.5, 0.0, image.height - 1.001);
      const int x0 = static_cast<int>(u), y0 = static_cast<int>(v);
      for (std::size_t c = 0; c < 3; ++c) {
        const double top = image.at(x0, y0)[c] + (u - x0) * (image.at(x0 + 1, y0)[c] - image.at(x0, y0)[c]);
        const double low = image.at(x0, y0 + 1)[c] + (u - x0) * (image.at(x0 + 1, y0 + 1)[c] - image.at(x0, y0 + 1)[c]);
        out.at(x, y)[c] = static_cast<std::uint8_t>(std::lround(top + (v - y0) * (low - top)));
      }
    }
  return out;
}

}  // namespace tackcloth::picture
