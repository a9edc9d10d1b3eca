#include <algorithm>
#include <cmath>

#include "picture/find.h"
#include "picture/patch.h"
#include "picture/quads.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using shape::Point;
using Rgb = Eigen::Vector3d;

constexpr int kLongest = 800;
constexpr double kLeastFilled = 0.9;
constexpr double kLeastShare = 0.004, kMostShare = 0.3;  // of the picture
constexpr double kMostCast = 0.3;                        // of a channel against the light, log
constexpr double kUnlike = 0.15;                         // of two colours, log of a channel
constexpr double kSure = 0.6;                            // confidence from which one is named

double unlike(const Rgb& a, const Rgb& b) {
  double most = 0;
  for (int c = 0; c < 3; ++c) most = std::max(most, std::abs(std::log((a[c] + 0.005) / (b[c] + 0.005))));
  return most;
}

Rgb pixel(const Image& image, double x, double y) {
  const auto& light = decode_table();
  Rgb sum = Rgb::Zero();
  for (int dy = -1; dy <= 1; ++dy)
    for (int dx = -1; dx <= 1; ++dx) {
      const std::uint8_t* p = image.at(std::clamp(static_cast<int>(x) + dx, 0, image.width - 1),
                                       std::clamp(static_cast<int>(y) + dy, 0, image.height - 1));
      sum += Rgb(light[p[0]], light[p[1]], light[p[2]]);
    }
  return sum / 9;
}

// Light of luminance 1 (Minkowski mean of order 6, Finlayson and Trezzi 2004), and the brightness that only 2 % of the
// picture exceed.
struct Surroundings {
  Rgb light;
  double bright;
};

Surroundings surroundings(const Image& image) {
  const auto& light = decode_table();
  Rgb sum = Rgb::Zero();
  std::vector<double> y;
  for (std::size_t i = 0; i < image.rgb.size(); i += 3) {
    const Rgb v(light[image.rgb[i]], light[image.rgb[i + 1]], light[image.rgb[i + 2]]);
    sum += v.array().pow(6).matrix();
    y.push_back(luminance(v));
  }
  Rgb l = (sum.array() + 1e-30).pow(1.0 / 6).matrix();
  l /= luminance(l);
  const auto at = static_cast<std::ptrdiff_t>(0.98 * static_cast<double>(y.size() - 1));
  std::nth_element(y.begin(), y.begin() + at, y.end());
  return {l, std::max(1e-3, y[static_cast<std::size_t>(at)])};
}

// How far from neutral in a light somewhere between the picture's and white (a phone takes some of it out).
double cast(const Rgb& v, const Rgb& light) {
  double least = 1e9;
  for (int step = 0; step <= 4; ++step) {
    Rgb l = light.array().pow(0.25 * step).matrix();
    const Rgb ratio = (v / luminance(v)).cwiseQuotient(l / luminance(l));
    least = std::min(least, ratio.array().max(1e-6).log().abs().maxCoeff());
  }
  return least;
}

// The card ends at each of its sides: what is beyond, nearer and further, is unlike it.
bool stands_alone(const Image& image, const Quad& q, const Rgb& card) {
  Point middle{0, 0};
  for (const auto& p : q.corners) middle = {middle.x + p.x / 4, middle.y + p.y / 4};
  for (std::size_t s = 0; s < 4; ++s) {
    const Point a = q.corners[s], b = q.corners[(s + 1) % 4];
    const Point half{(a.x + b.x) / 2 - middle.x, (a.y + b.y) / 2 - middle.y};
    for (const double out : {0.2, 0.45}) {
      int other = 0, all = 0;
      for (int n = 1; n <= 9; ++n) {
        const double t = 0.1 * n;
        const double x = a.x + t * (b.x - a.x) + out * half.x, y = a.y + t * (b.y - a.y) + out * half.y;
        if (x < 0 || y < 0 || x >= image.width || y >= image.height) continue;
        ++all;
        other += unlike(pixel(image, x, y), card) > kUnlike;
      }
      if (other * 3 < all * 2) return false;
    }
  }
  return true;
}

struct Card {
  Quad quad;
  Rgb color;
  double confidence;
};

Result<Found> not_found(const std::string& why) {
  return tl::unexpected(Problem{"", 0, 0, "no grey card was found" + why,
                                "one plain grey card, at least a fifteenth of the photo wide, nothing lying on it",
                                "tap the card"});
}

}  // namespace

Result<Found> find_grey_card(const Image& photo) {
  const Image image = shrink(photo, kLongest);
  const Surroundings around = surroundings(image);
  std::vector<Card> cards;
  std::vector<std::pair<Quad, Rgb>> plain;
  for (const auto& q : flat_quads(image, 0.8)) {
    const double share = q.area / static_cast<double>(image.pixels());
    if (share < kLeastShare / 3) continue;
    std::vector<Point> inner;
    for (const auto& p : q.corners)
      inner.push_back({q.middle.x + 0.75 * (p.x - q.middle.x), q.middle.y + 0.75 * (p.y - q.middle.y)});
    const Patch patch = read_patch(image, inner);
    if (patch.pixels < 9) continue;
    plain.emplace_back(q, patch.mean);
    if (share < kLeastShare || share > kMostShare || q.filled < kLeastFilled || patch.clipped || patch.spread > 0.12)
      continue;
    const double y = luminance(patch.mean), level = y / around.bright;
    if (y < 0.004 || level < 0.04 || level > 0.8) continue;
    const double c = cast(patch.mean, around.light);
    if (c > kMostCast || !stands_alone(image, q, patch.mean)) continue;
    // Grey cards are of 18 %, white walls of 80 %: common practice, no source.
    const double middling = std::clamp(std::min((level - 0.04) / 0.06, (0.8 - level) / 0.3), 0.0, 1.0);
    const double straight = std::clamp((q.filled - kLeastFilled) / 0.06, 0.2, 1.0);
    cards.push_back({q, patch.mean, 0.9 * (1 - c / kMostCast) * middling * straight});
  }
  for (auto& card : cards) {
    const auto like = std::count_if(plain.begin(), plain.end(), [&](const auto& other) {
      return std::hypot(other.first.middle.x - card.quad.middle.x, other.first.middle.y - card.quad.middle.y) > 3 &&
             other.first.area < 4 * card.quad.area && card.quad.area < 4 * other.first.area &&
             unlike(other.second, card.color) < 0.35;
    });
    card.confidence *= like == 0 ? 1 : like == 1 ? 0.5 : 0;
  }
  std::erase_if(cards, [](const Card& c) { return c.confidence <= 0; });
  if (cards.empty()) return not_found("");
  std::stable_sort(cards.begin(), cards.end(),
                   [](const Card& a, const Card& b) { return a.confidence > b.confidence; });
  std::vector<Found> found;
  for (const auto& card : cards) {
    Found f;
    std::size_t first = 0;
    const auto& c = card.quad.corners;
    for (std::size_t n = 1; n < 4; ++n)
      if (c[n].x + c[n].y < c[first].x + c[first].y) first = n;
    for (std::size_t n = 0; n < 4; ++n)
      f.corners[n] = {c[(first + n) % 4].x * photo.width / image.width,
                      c[(first + n) % 4].y * photo.height / image.height};
    f.confidence = card.confidence;
    f.fit_error = 1 - card.quad.filled;
    found.push_back(f);
  }
  const auto& best = found.front();
  if (best.confidence < kSure)
    return not_found(": what is around " + std::to_string(std::lround((best.corners[0].x + best.corners[2].x) / 2)) +
                     "," + std::to_string(std::lround((best.corners[0].y + best.corners[2].y) / 2)) +
                     " may be one, but not surely (confidence " + std::to_string(best.confidence).substr(0, 4) + ")");
  Found out = best;
  for (std::size_t n = 1; n < found.size(); ++n) out.others.push_back({found[n].corners, found[n].confidence});
  return out;
}

}  // namespace tackcloth::picture
