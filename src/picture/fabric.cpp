#include "picture/fabric.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "picture/srgb_table.h"

namespace tackcloth::picture {

using shape::Point;

Result<void> check(const Cloth& cloth) {
  if (!(cloth.repeat_mm >= 1 && cloth.repeat_mm <= 3000))
    return tl::unexpected(Problem{"", 0, 0, "the pattern repeats every " + std::to_string(cloth.repeat_mm) + " mm",
                                  "1 mm to 3 m", "measure one repeat on the cloth"});
  if (cloth.swatch.width < 4 || cloth.swatch.height < 4)
    return tl::unexpected(Problem{"", 0, 0, "the swatch is only a few pixels", "at least 4 x 4 pixels",
                                  "photograph one repeat of the cloth, straight on"});
  return {};
}

namespace {

// The cells under one cell of a row of `n` made from one of `from`, and how much of it each fills: by length, so that
// an odd number of cells counts none of them twice.
struct Shares {
  int first = 0, count = 0;
  std::array<float, 4> share{};
};
std::vector<Shares> shares(int from, int n) {
  std::vector<Shares> out(static_cast<std::size_t>(n));
  for (int x = 0; x < n; ++x) {
    // In whole n-ths of a cell: this one reaches from x * from to (x + 1) * from.
    Shares& s = out[static_cast<std::size_t>(x)];
    s.first = x * from / n;
    for (int cell = s.first; cell * n < (x + 1) * from; ++cell) {
      const int inside = std::min((cell + 1) * n, (x + 1) * from) - std::max(cell * n, x * from);
      s.share[static_cast<std::size_t>(s.count++)] = static_cast<float>(inside) / static_cast<float>(from);
    }
  }
  return out;
}

}  // namespace

Weave::Weave(const Cloth& cloth, int width, int height)
    : to_mm_(cloth.face.from_photo),
      per_mm_u_(1 / cloth.repeat_mm),
      per_mm_v_(cloth.swatch.width / (cloth.repeat_mm * cloth.swatch.height)),
      scale_x_(static_cast<double>(cloth.photo_width) / width),
      scale_y_(static_cast<double>(cloth.photo_height) / height) {
  const auto& table = decode_table();
  Level level{cloth.swatch.width, cloth.swatch.height, std::vector<std::array<float, 3>>(cloth.swatch.pixels())};
  for (std::size_t i = 0; i < level.light.size(); ++i)
    level.light[i] = {table[cloth.swatch.rgb[3 * i]], table[cloth.swatch.rgb[3 * i + 1]],
                      table[cloth.swatch.rgb[3 * i + 2]]};
  levels_.push_back(std::move(level));
  while (levels_.back().width > 1 || levels_.back().height > 1) {
    const Level& from = levels_.back();
    Level half{(from.width + 1) / 2, (from.height + 1) / 2, {}};
    const auto across = shares(from.width, half.width), down = shares(from.height, half.height);
    half.light.reserve(static_cast<std::size_t>(half.width) * static_cast<std::size_t>(half.height));
    for (const auto& row : down)
      for (const auto& column : across) {
        std::array<float, 3> sum{};
        for (int j = 0; j < row.count; ++j)
          for (int i = 0; i < column.count; ++i) {
            const auto& light = from.light[static_cast<std::size_t>(row.first + j) * from.width + column.first + i];
            const float weight = row.share[static_cast<std::size_t>(j)] * column.share[static_cast<std::size_t>(i)];
            for (std::size_t c = 0; c < 3; ++c) sum[c] += weight * light[c];
          }
        half.light.push_back(sum);
      }
    levels_.push_back(std::move(half));
  }
}

std::array<float, 3> Weave::sample(const Level& level, double u, double v) const {
  const double x = (u - std::floor(u)) * level.width - 0.5, y = (1 - (v - std::floor(v))) * level.height - 0.5;
  const int fx = static_cast<int>(std::floor(x)), fy = static_cast<int>(std::floor(y));
  const auto tx = static_cast<float>(x - fx), ty = static_cast<float>(y - fy);
  const auto at = [&](int px, int py) -> const std::array<float, 3>& {
    px = (px + level.width) % level.width;
    py = (py + level.height) % level.height;
    return level.light[static_cast<std::size_t>(py) * level.width + px];
  };
  const auto &a = at(fx, fy), &b = at(fx + 1, fy), &c = at(fx, fy + 1), &d = at(fx + 1, fy + 1);
  std::array<float, 3> out;
  for (std::size_t i = 0; i < 3; ++i)
    out[i] = (a[i] * (1 - tx) + b[i] * tx) * (1 - ty) + (c[i] * (1 - tx) + d[i] * tx) * ty;
  return out;
}

std::array<float, 3> Weave::at(int x, int y) const {
  const auto repeats = [&](double px, double py) {
    const Point mm = to_mm_.map({px * scale_x_, py * scale_y_});
    return Point{mm.x * per_mm_u_, mm.y * per_mm_v_};
  };
  const Point p = repeats(x + 0.5, y + 0.5), right = repeats(x + 1.5, y + 0.5), down = repeats(x + 0.5, y + 1.5);
  if (!std::isfinite(p.x) || !std::isfinite(p.y) || std::abs(p.x) > 1e6 || std::abs(p.y) > 1e6)
    return levels_.back().light[0];
  const double w = levels_[0].width, h = levels_[0].height;
  const double span = std::max(std::hypot((right.x - p.x) * w, (right.y - p.y) * h),
                               std::hypot((down.x - p.x) * w, (down.y - p.y) * h));
  const double wanted = std::log2(std::max(span, 1.0));
  const auto low = std::min(static_cast<std::size_t>(wanted), levels_.size() - 1);
  const auto high = std::min(low + 1, levels_.size() - 1);
  const auto t = static_cast<float>(std::clamp(wanted - static_cast<double>(low), 0.0, 1.0));
  const auto a = sample(levels_[low], p.x, p.y), b = sample(levels_[high], p.x, p.y);
  return {a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])};
}

}  // namespace tackcloth::picture
