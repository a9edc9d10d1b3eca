#include "picture/chart.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <fstream>

#include "color/difference.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using shape::Point;

struct Patch {
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();
  double spread = 0;  // of the channels, against their mean
  bool clipped = false;
  int pixels = 0;
};

// Mean light over a convex outline in the photo.
Patch read_patch(const Image& photo, const std::vector<Point>& outline) {
  const auto& light = decode_table();
  Patch out;
  double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
  for (const auto& p : outline) {
    x0 = std::min(x0, p.x);
    x1 = std::max(x1, p.x);
    y0 = std::min(y0, p.y);
    y1 = std::max(y1, p.y);
  }
  Eigen::Vector3d square = Eigen::Vector3d::Zero();
  int high = 0;
  for (int y = std::max(0, static_cast<int>(y0)); y < std::min<double>(photo.height, y1); ++y)
    for (int x = std::max(0, static_cast<int>(x0)); x < std::min<double>(photo.width, x1); ++x) {
      bool inside = true;
      for (std::size_t i = 0; i < outline.size() && inside; ++i) {
        const Point a = outline[i], b = outline[(i + 1) % outline.size()];
        inside = (b.x - a.x) * (y + 0.5 - a.y) - (b.y - a.y) * (x + 0.5 - a.x) >= 0;
      }
      if (!inside) continue;
      const std::uint8_t* p = photo.at(x, y);
      const Eigen::Vector3d v(light[p[0]], light[p[1]], light[p[2]]);
      out.mean += v;
      square += v.cwiseProduct(v);
      high += std::max({p[0], p[1], p[2]}) >= 254;
      ++out.pixels;
    }
  if (out.pixels == 0) return out;
  out.mean /= out.pixels;
  square /= out.pixels;
  out.spread =
      std::sqrt(std::max(0.0, (square - out.mean.cwiseProduct(out.mean)).sum() / 3)) / (out.mean.mean() + 0.02);
  out.clipped = high * 20 > out.pixels;
  return out;
}

color::Lab lab(const Eigen::Vector3d& v) { return color::lab_from_linear_rgb({v.x(), v.y(), v.z()}); }

double luminance(const Eigen::Vector3d& v) { return 0.2126 * v.x() + 0.7152 * v.y() + 0.0722 * v.z(); }

}  // namespace

Result<std::vector<color::Lab>> read_chart(const std::filesystem::path& path) {
  std::ifstream file(path);
  std::vector<color::Lab> out;
  std::string line;
  const auto problem = [&](int number, const std::string& what) {
    return tl::unexpected(Problem{path.string(), number, 0, what, "24 lines of L,a,b under D50, row by row",
                                  "copy them from the chart's own table"});
  };
  if (!file) return problem(0, "the chart's table cannot be read");
  for (int number = 1; std::getline(file, line) && number < 1000; ++number) {
    const std::size_t first = line.find_first_not_of(" \t\r");
    if (first == std::string::npos || line[first] == '#' || std::isalpha(static_cast<unsigned char>(line[first])))
      continue;
    color::Lab v;
    if (std::sscanf(line.c_str(), "%lf , %lf , %lf", &v.l, &v.a, &v.b) != 3 || !(v.l >= 0 && v.l <= 100) ||
        !(std::abs(v.a) <= 150 && std::abs(v.b) <= 150))
      return problem(number, "this is not a colour");
    out.push_back(v);
  }
  if (out.size() != 24) return problem(0, "there are " + std::to_string(out.size()) + " colours");
  return out;
}

Result<Calibration> fit_chart(const Image& photo, const Corners& corners, const std::vector<color::Lab>& reference) {
  const auto problem = [](const std::string& what, const std::string& mend) {
    return tl::unexpected(
        Problem{"", 0, 0, what, "a chart of 4 x 6 plain patches, evenly lit, none overexposed", mend});
  };
  if (reference.size() != 24) return problem("the chart's table has not 24 colours", "give all 24, row by row");
  // Six by four cells of 100 mm; only the middle half of each is read.
  const auto face = face_from_corners(corners, 600, 400);
  if (!face) return tl::unexpected(face.error());
  std::vector<Patch> patches;
  std::vector<Eigen::Vector3d> want;
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 6; ++column) {
      const double x = 100 * column + 25, y = 400 - 100 * row - 75;
      const auto at = [&](double mx, double my) { return face->to_photo.map({mx, my}); };
      patches.push_back(read_patch(photo, {at(x, y + 50), at(x + 50, y + 50), at(x + 50, y), at(x, y)}));
      const auto& v = reference[want.size()];
      const color::LinearRgb rgb = color::linear_rgb_from_lab(v);
      want.emplace_back(rgb.r, rgb.g, rgb.b);
      if (patches.back().pixels < 9) return problem("the chart is too small in the photo", "take it closer");
      if (patches.back().spread > 0.3)
        return problem("patch " + std::to_string(want.size()) + " is not plain: the corners miss the chart",
                       "tap the outer corners of the four corner patches again");
    }
  Calibration out;
  Eigen::MatrixXd seen(24, 3), is(24, 3);
  Eigen::VectorXd weight(24);
  double gain_top = 0, gain_bottom = 0;
  for (Eigen::Index i = 0; i < 24; ++i) {
    const auto n = static_cast<std::size_t>(i);
    weight(i) = patches[n].clipped ? 0 : 1 / (luminance(want[n]) + 0.05);
    out.patches += !patches[n].clipped;
    seen.row(i) = patches[n].mean.transpose() * weight(i);
    is.row(i) = want[n].transpose() * weight(i);
    gain_top += weight(i) * luminance(want[n]) * weight(i) * luminance(patches[n].mean);
    gain_bottom += std::pow(weight(i) * luminance(patches[n].mean), 2);
  }
  if (out.patches < 18) return problem("more than six patches are overexposed", "expose less, away from lamps' glare");
  if (out.patches < 24) out.warnings.push_back(std::to_string(24 - out.patches) + " overexposed patches were left out");
  const Eigen::Matrix3d m = seen.colPivHouseholderQr().solve(is).transpose();
  const double gain = gain_bottom > 0 ? gain_top / gain_bottom : 1;
  for (std::size_t n = 0; n < 24; ++n) {
    if (patches[n].clipped) continue;
    const double off = color::difference_2000(lab(m * patches[n].mean), reference[n]);
    out.mean_de00 += off / out.patches;
    out.worst_de00 = std::max(out.worst_de00, off);
    out.before_mean_de00 += color::difference_2000(lab(gain * patches[n].mean), reference[n]) / out.patches;
  }
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) out.matrix[static_cast<std::size_t>(3 * r + c)] = m(r, c);
  // A chart read upside down or mirrored fits nowhere near.
  if (out.mean_de00 > 10)
    return problem("the patches do not fit the table: they are off by a mean dE00 of " + std::to_string(out.mean_de00),
                   "begin with the corner of the first patch of the table, and go around clockwise");
  if (out.mean_de00 > 3)
    out.warnings.push_back("the patches are still off by a mean dE00 of " + std::to_string(out.mean_de00).substr(0, 4) +
                           ": mixed light, glare or a phone's own colours; do not match paint by this photo");
  return out;
}

Result<Calibration> fit_grey(const Image& photo, Point place, double reflectance) {
  if (!(reflectance >= 0.03 && reflectance <= 0.95))
    return tl::unexpected(
        Problem{"", 0, 0, "the card reflects " + std::to_string(reflectance), "0.03 to 0.95", "18 % is 0.18"});
  if (!(place.x >= 0 && place.y >= 0 && place.x < photo.width && place.y < photo.height))
    return tl::unexpected(Problem{"", 0, 0, "the card is not in the photo", "a place in the photo", "tap the card"});
  const double r = std::max(2.0, std::max(photo.width, photo.height) / 150.0);
  const Patch card = read_patch(
      photo,
      {{place.x - r, place.y - r}, {place.x + r, place.y - r}, {place.x + r, place.y + r}, {place.x - r, place.y + r}});
  if (card.clipped || card.spread > 0.3 || !(card.mean.minCoeff() > 0.002))
    return tl::unexpected(Problem{"", 0, 0, "what is tapped is not plain grey: it is patterned, overexposed or black",
                                  "the middle of the card, evenly lit", "tap the card again"});
  Calibration out;
  out.patches = 1;
  for (int c = 0; c < 3; ++c) out.matrix[static_cast<std::size_t>(4 * c)] = reflectance / card.mean[c];
  out.warnings.push_back(
      "a grey card sets the light's colour and strength, not the camera's own colours: strong colours may "
      "be off by a dE00 of 5 or more (common practice, no source); a chart of 24 patches tells");
  return out;
}

Image corrected(const Image& photo, const Calibration& calibration) {
  Image out(photo.width, photo.height);
  const auto& light = decode_table();
  const auto& code = encode_table();
  std::array<float, 9> m;
  for (std::size_t i = 0; i < 9; ++i) m[i] = static_cast<float>(calibration.matrix[i]);
  for (std::size_t i = 0; i < photo.rgb.size(); i += 3) {
    const float r = light[photo.rgb[i]], g = light[photo.rgb[i + 1]], b = light[photo.rgb[i + 2]];
    for (std::size_t c = 0; c < 3; ++c)
      out.rgb[i + c] = encode(code, m[3 * c] * r + m[3 * c + 1] * g + m[3 * c + 2] * b);
  }
  return out;
}

}  // namespace tackcloth::picture
