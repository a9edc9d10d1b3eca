#include "picture/chart.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <fstream>

#include "color/difference.h"
#include "picture/chart_fit.h"
#include "picture/patch.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

using shape::Point;

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

namespace {

tl::unexpected<Problem> chart_problem(const std::string& what, const std::string& mend) {
  return tl::unexpected(Problem{"", 0, 0, what, "a chart of 4 x 6 patches, evenly lit, none overexposed", mend});
}

// Six by four cells of 100 mm; only the middle half of each is read.
Result<std::vector<Patch>> read_patches(const Image& photo, const Corners& corners, const std::vector<int>& left_out) {
  const auto face = face_from_corners(corners, 600, 400);
  if (!face) return tl::unexpected(face.error());
  std::vector<Patch> patches;
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 6; ++column) {
      const double x = 100 * column + 25, y = 400 - 100 * row - 75;
      const auto at = [&](double mx, double my) { return face->to_photo.map({mx, my}); };
      patches.push_back(read_patch(photo, {at(x, y + 50), at(x + 50, y + 50), at(x + 50, y), at(x, y)}));
      const auto number = static_cast<int>(patches.size());
      if (std::find(left_out.begin(), left_out.end(), number) != left_out.end()) continue;
      if (patches.back().pixels < 9) return chart_problem("the chart is too small in the photo", "take it closer");
      if (patches.back().spread > 0.3)
        return chart_problem("patch " + std::to_string(number) + " is not plain: the corners miss the chart",
                             "tap the outer corners of the four corner patches again");
    }
  return patches;
}

}  // namespace

Result<Calibration> fit_chart(const Image& photo, const Corners& corners, const std::vector<color::Lab>& reference,
                              const std::vector<int>& left_out) {
  if (reference.size() != 24) return chart_problem("the chart's table has not 24 colours", "give all 24, row by row");
  const auto patches = read_patches(photo, corners, left_out);
  if (!patches) return tl::unexpected(patches.error());
  const auto want = linear_of(reference);
  Calibration out;
  std::vector<bool> use(24, true);
  for (const int n : left_out)
    if (n >= 1 && n <= 24) use[static_cast<std::size_t>(n - 1)] = false;
  double gain_top = 0, gain_bottom = 0;
  for (std::size_t n = 0; n < 24; ++n) {
    if ((*patches)[n].clipped) use[n] = false;
    if (!use[n]) continue;
    ++out.patches;
    const double weight = 1 / (luminance(want[n]) + 0.05), seen = luminance((*patches)[n].mean);
    gain_top += weight * luminance(want[n]) * weight * seen;
    gain_bottom += std::pow(weight * seen, 2);
  }
  if (out.patches < 18)
    return chart_problem("more than six patches are overexposed or covered", "expose less, away from lamps' glare");
  if (out.patches < 24)
    out.warnings.push_back(std::to_string(24 - out.patches) + " overexposed or covered patches were left out");
  const Eigen::Matrix3d m = fit_matrix(*patches, want, use);
  const double gain = gain_bottom > 0 ? gain_top / gain_bottom : 1;
  for (std::size_t n = 0; n < 24; ++n) {
    if (!use[n]) continue;
    const double off = color::difference_2000(lab(m * (*patches)[n].mean), reference[n]);
    out.mean_de00 += off / out.patches;
    out.worst_de00 = std::max(out.worst_de00, off);
    out.before_mean_de00 += color::difference_2000(lab(gain * (*patches)[n].mean), reference[n]) / out.patches;
  }
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) out.matrix[static_cast<std::size_t>(3 * r + c)] = m(r, c);
  // A chart read upside down or mirrored fits nowhere near.
  if (out.mean_de00 > 10)
    return chart_problem(
        "the patches do not fit the table: they are off by a mean dE00 of " + std::to_string(out.mean_de00),
        "begin with the corner of the first patch of the table, and go around clockwise");
  if (out.mean_de00 > 3)
    out.warnings.push_back("the patches are still off by a mean dE00 of " + std::to_string(out.mean_de00).substr(0, 4) +
                           ": mixed light, glare or a phone's own colours; do not match paint by this photo");
  return out;
}

Result<Calibration> fit_neutral_row(const Image& photo, const Corners& corners, const std::vector<int>& left_out) {
  const auto patches = read_patches(photo, corners, left_out);
  if (!patches) return tl::unexpected(patches.error());
  Calibration out;
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  std::vector<Eigen::Vector3d> seen;
  for (std::size_t n = 18; n < 24; ++n) {
    if ((*patches)[n].clipped || std::find(left_out.begin(), left_out.end(), static_cast<int>(n + 1)) != left_out.end())
      continue;
    seen.push_back((*patches)[n].mean);
    sum += seen.back();
    ++out.patches;
  }
  if (out.patches < 4 || !(sum.minCoeff() > 0.01))
    return chart_problem("too little of the chart's neutral row can be read", "expose less, uncover its last row");
  for (std::size_t c = 0; c < 3; ++c) out.matrix[4 * c] = luminance(sum) / sum[static_cast<Eigen::Index>(c)];
  for (const auto& v : seen) {
    const auto off = [&](const Eigen::Vector3d& seen_as) {
      const color::Lab is = lab(seen_as);
      return color::difference_2000(is, {is.l, 0, 0});
    };
    const Eigen::Vector3d right(out.matrix[0] * v[0], out.matrix[4] * v[1], out.matrix[8] * v[2]);
    out.mean_de00 += off(right) / out.patches;
    out.worst_de00 = std::max(out.worst_de00, off(right));
    out.before_mean_de00 += off(v) / out.patches;
  }
  if (out.mean_de00 > 6)
    return chart_problem("the last row of the chart is not neutral, or not in one light",
                         "begin with the corner of the first patch, or give the chart's table");
  out.warnings.push_back(
      "without the chart's table only the cast of its neutral row is taken out: exposure stays, and strong colours may "
      "be off by a dE00 of 5 or more (common practice, no source)");
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
