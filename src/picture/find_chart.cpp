#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "color/difference.h"
#include "picture/chart_fit.h"
#include "picture/find.h"
#include "picture/lattice.h"
#include "picture/quads.h"

namespace tackcloth::picture {

namespace {

using shape::Point;

// A patch is seen as a square of its own when its flat part is nearly a quadrilateral; of a small one the corners are
// rounded by the edges around.
constexpr double kLeastSquareFilled = 0.78;
constexpr std::size_t kLeastSquares = 11;
constexpr int kMostLeftOut = 6, kMostBeyond = 2;
constexpr double kSureOfChart = 0.6;  // confidence from which one is named
constexpr double kMostOff = 0.1;      // rms of the squares from the lattice, in cells

// How a chart lies on the lattice: which of its cells is at (i, j), and turned by how many quarter turns clockwise.
struct Lie {
  int i = 0, j = 0;  // the least of both
  int turn = 0;
  bool mirrored = false;

  // A place on the chart, 0 to 6 across and 0 to 4 down.
  Point on_lattice(double x, double y) const {
    if (mirrored) x = 6 - x;
    const double di = turn == 0 ? x : turn == 1 ? 4 - y : turn == 2 ? 6 - x : y;
    const double dj = turn == 0 ? y : turn == 1 ? x : turn == 2 ? 4 - y : 6 - x;
    return {i + di - 0.5, j + dj - 0.5};
  }
};

bool plain(const Patch& p) { return p.pixels >= 4 && p.spread <= 0.3 && !p.clipped; }

// How well the 24 patches are a chart's.
struct Colors {
  double error = 0;  // see Found::color_error
  std::vector<int> left_out;
};

struct Searcher {
  Searcher(const Image& p, const std::vector<color::Lab>& r) : picture(p), reference(r), want(linear_of(r)) {}

  const Patch& patch(const Lattice& lattice, int i, int j) {
    auto& slot = read[{i, j}];
    if (!slot) {
      const auto at = [&](double di, double dj) { return lattice.to_picture.map({i + di, j + dj}); };
      std::vector<Point> outline{at(-0.25, -0.25), at(0.25, -0.25), at(0.25, 0.25), at(-0.25, 0.25)};
      slot = read_patch(picture, outline);
    }
    return *slot;
  }

  // The patches in the table's order when the chart lies so.
  std::vector<Patch> patches(const Lattice& lattice, const Lie& lie) {
    std::vector<Patch> out;
    for (int row = 0; row < 4; ++row)
      for (int column = 0; column < 6; ++column) {
        const Point p = lie.on_lattice(column + 0.5, row + 0.5);
        out.push_back(patch(lattice, static_cast<int>(std::lround(p.x)), static_cast<int>(std::lround(p.y))));
      }
    return out;
  }

  // With the table: what a matrix leaves, patches far out of their colour dropped one by one.
  std::optional<Colors> by_table(const std::vector<Patch>& seen) const {
    std::vector<bool> use(24);
    Colors out;
    for (std::size_t n = 0; n < 24; ++n) {
      use[n] = plain(seen[n]);
      if (!use[n]) out.left_out.push_back(static_cast<int>(n + 1));
    }
    while (out.left_out.size() <= kMostLeftOut) {
      const Eigen::Matrix3d m = fit_matrix(seen, want, use);
      std::vector<double> off;
      std::size_t worst = 0;
      double most = -1;
      out.error = 0;
      for (std::size_t n = 0; n < 24; ++n) {
        if (!use[n]) continue;
        off.push_back(color::difference_2000(lab(m * seen[n].mean), reference[n]));
        out.error += off.back();
        if (off.back() > most) {
          most = off.back();
          worst = n;
        }
      }
      out.error /= static_cast<double>(off.size());
      std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2), off.end());
      if (most <= std::max(12.0, 3 * off[off.size() / 2])) return out;
      use[worst] = false;
      out.left_out.push_back(static_cast<int>(worst + 1));
    }
    return std::nullopt;
  }

  // Without: the last row has one cast and falls in lightness, the rest has many.
  std::optional<Colors> by_neutral_row(const std::vector<Patch>& seen) const {
    Colors out;
    Eigen::Vector3d sum = Eigen::Vector3d::Zero();
    double white = 0, last = 1e9, darkest = 1e9;
    int neutral = 0;
    for (std::size_t n = 0; n < 24; ++n) {
      if (!plain(seen[n])) {
        out.left_out.push_back(static_cast<int>(n + 1));
        continue;
      }
      if (n < 18) continue;
      const double y = luminance(seen[n].mean);
      if (y > 0.85 * last) return std::nullopt;
      last = darkest = y;
      white = std::max(white, y);
      sum += seen[n].mean;
      ++neutral;
    }
    if (out.left_out.size() > kMostLeftOut || neutral < 5 || white < 5 * darkest) return std::nullopt;
    const Eigen::Vector3d cast = sum / luminance(sum);
    std::vector<double> others;
    for (std::size_t n = 0; n < 24; ++n) {
      if (!plain(seen[n])) continue;
      const double y = luminance(seen[n].mean);
      const Eigen::Vector3d away = (seen[n].mean - y * cast).cwiseQuotient(cast) / (y + 0.02 * white);
      if (n < 18)
        others.push_back(away.cwiseAbs().maxCoeff());
      else
        out.error += away.squaredNorm() / 3 / neutral;
    }
    out.error = std::sqrt(out.error);
    std::nth_element(others.begin(), others.begin() + static_cast<std::ptrdiff_t>(others.size() / 2), others.end());
    const double middle = others[others.size() / 2];
    if (out.error > 0.12 || middle < 0.25 || middle < 3 * out.error) return std::nullopt;
    return out;
  }

  void consider(const Lattice& lattice) {
    read.clear();
    if (lattice.rms > kMostOff) return;
    int i0 = 1 << 20, i1 = -i0, j0 = i0, j1 = -i0;
    for (const auto& s : lattice.squares) {
      i0 = std::min(i0, s.i);
      i1 = std::max(i1, s.i);
      j0 = std::min(j0, s.j);
      j1 = std::max(j1, s.j);
    }
    struct Fit {
      Lie lie;
      Colors colors;
      int squares;
    };
    std::vector<Fit> fits;
    for (const int turn : {0, 1, 2, 3}) {
      const int w = turn % 2 == 0 ? 6 : 4, h = 10 - w;
      for (int i = std::min(i0, i1 - w + 1); i <= std::max(i0, i1 - w + 1); ++i)
        for (int j = std::min(j0, j1 - h + 1); j <= std::max(j0, j1 - h + 1); ++j) {
          const auto inside = std::count_if(lattice.squares.begin(), lattice.squares.end(), [&](const auto& s) {
            return s.i >= i && s.i < i + w && s.j >= j && s.j < j + h;
          });
          if (inside < static_cast<int>(kLeastSquares) ||
              static_cast<int>(lattice.squares.size()) - inside > kMostBeyond)
            continue;
          a_lattice = true;
          for (const bool mirrored : {false, true}) {
            const Lie lie{i, j, turn, mirrored};
            if (!in_picture(lattice, lie)) continue;
            const auto seen = patches(lattice, lie);
            const auto covered = std::count_if(seen.begin(), seen.end(), [](const Patch& p) { return !plain(p); });
            least_covered = std::min(least_covered, static_cast<int>(covered));
            if (covered > kMostLeftOut) continue;
            const auto colors = reference.empty() ? by_neutral_row(seen) : by_table(seen);
            if (colors) fits.push_back({lie, *colors, static_cast<int>(inside)});
          }
        }
    }
    if (fits.empty()) return;
    std::sort(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) {
      const auto cost = [](const Fit& f) {
        return f.colors.error * (1 + 0.1 * static_cast<double>(f.colors.left_out.size()));
      };
      return cost(a) < cost(b);
    });
    const Fit& best = fits.front();
    const double limit = reference.empty() ? 0.12 : 10;  // by the table: as in fit_chart
    const double second = fits.size() > 1 ? std::min(fits[1].colors.error, 2 * limit) : 2 * limit;
    if (best.colors.error > limit) return;
    if (best.lie.mirrored) {
      mirrored_one = true;
      return;
    }
    Found found;
    const Corners on_chart{Point{0, 0}, Point{6, 0}, Point{6, 4}, Point{0, 4}};
    for (std::size_t n = 0; n < 4; ++n)
      found.corners[n] = lattice.to_picture.map(best.lie.on_lattice(on_chart[n].x, on_chart[n].y));
    found.squares = best.squares;
    found.fit_error = lattice.rms;
    found.color_error = best.colors.error;
    found.left_out = best.colors.left_out;
    std::sort(found.left_out.begin(), found.left_out.end());
    found.confidence = (24.0 - static_cast<double>(found.left_out.size())) / 24 * std::sqrt(found.squares / 24.0) *
                       (1 - lattice.rms / (1.5 * kMostOff)) * std::clamp(1 - best.colors.error / second, 0.0, 1.0);
    all.push_back(found);
  }

  bool in_picture(const Lattice& lattice, const Lie& lie) const {
    const double sign =
        lattice.to_picture.depth(lattice.squares.size() > 0 ? Point{static_cast<double>(lattice.squares[0].i),
                                                                    static_cast<double>(lattice.squares[0].j)}
                                                            : Point{});
    for (const auto& [x, y] : {std::pair{0.3, 0.3}, {5.7, 0.3}, {5.7, 3.7}, {0.3, 3.7}}) {
      const Point p = lie.on_lattice(x, y);
      if (lattice.to_picture.depth(p) * sign <= 0) return false;
      const Point q = lattice.to_picture.map(p);
      if (!(q.x > 0 && q.y > 0 && q.x < picture.width && q.y < picture.height)) return false;
    }
    return true;
  }

  const Image& picture;
  const std::vector<color::Lab>& reference;
  std::vector<Eigen::Vector3d> want;
  std::map<std::pair<int, int>, std::optional<Patch>> read;
  std::vector<Found> all;
  bool a_lattice = false, mirrored_one = false;
  int least_covered = 24;
};

Point middle(const Corners& c) {
  return {(c[0].x + c[1].x + c[2].x + c[3].x) / 4, (c[0].y + c[1].y + c[2].y + c[3].y) / 4};
}

}  // namespace

Result<Found> find_chart(const Image& photo, const std::vector<color::Lab>& reference) {
  if (!reference.empty() && reference.size() != 24)
    return tl::unexpected(
        Problem{"", 0, 0, "the chart's table has not 24 colours", "24, or none", "give all 24, row by row"});
  std::vector<Found> all;
  bool a_lattice = false, mirrored = false;
  int covered = 24;
  const int side = std::max(photo.width, photo.height);
  int before = 0;
  // Coarse first: noise is averaged out. The finest only for a chart that is small in a large photo.
  for (const int longest : {600, 1200, 2400}) {
    if (std::min(side, longest) == before || (longest == 2400 && !all.empty())) break;
    before = std::min(side, longest);
    const Image picture = shrink(photo, longest);
    Searcher searcher(picture, reference);
    for (const auto& lattice : lattices(flat_quads(picture, kLeastSquareFilled), kLeastSquares))
      searcher.consider(lattice);
    const double sx = static_cast<double>(photo.width) / picture.width;
    const double sy = static_cast<double>(photo.height) / picture.height;
    for (auto& found : searcher.all) {
      for (auto& p : found.corners) p = {p.x * sx, p.y * sy};
      all.push_back(found);
    }
    a_lattice = a_lattice || searcher.a_lattice;
    mirrored = mirrored || searcher.mirrored_one;
    covered = std::min(covered, searcher.least_covered);
  }
  if (all.empty()) {
    std::string what = "no chart of 24 patches was found";
    if (mirrored)
      what += ": there is one, but mirrored, or its patches are in another order";
    else if (a_lattice && covered > kMostLeftOut)
      what += ": what may be one has too many patches covered, blurred or overexposed";
    else if (a_lattice)
      what += ": there are squares in rows, but not in a chart's colours";
    return tl::unexpected(Problem{
        "", 0, 0, what, "a chart that is sharp, lit evenly, its patches at least 8 pixels wide",
        mirrored ? "use the photo as the camera took it, not mirrored" : "tap its four corners, or take it closer"});
  }
  std::stable_sort(all.begin(), all.end(), [](const Found& a, const Found& b) { return a.confidence > b.confidence; });
  Found best = all.front();
  if (best.confidence < kSureOfChart)
    return tl::unexpected(Problem{"", 0, 0,
                                  "no chart was surely found: what lies around " +
                                      std::to_string(std::lround(middle(best.corners).x)) + ", " +
                                      std::to_string(std::lround(middle(best.corners).y)) + " may be one (confidence " +
                                      std::to_string(best.confidence).substr(0, 4) + ")",
                                  "a chart that is sharp, lit evenly, its patches at least 8 pixels wide",
                                  "tap its four corners, or take it closer"});
  std::vector<Point> known{middle(best.corners)};
  const double size = std::hypot(best.corners[2].x - best.corners[0].x, best.corners[2].y - best.corners[0].y);
  for (std::size_t n = 1; n < all.size(); ++n) {
    const Point m = middle(all[n].corners);
    if (std::any_of(known.begin(), known.end(), [&](Point k) { return std::hypot(k.x - m.x, k.y - m.y) < size / 4; }))
      continue;
    known.push_back(m);
    best.others.push_back({all[n].corners, all[n].confidence});
  }
  return best;
}

}  // namespace tackcloth::picture
