#include "picture/lattice.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>

namespace tackcloth::picture {

namespace {

using shape::Point;

struct Axes {
  Point u, v;  // across and down, from side to side
};

Axes axes_of(const Quad& q, int turn) {
  const auto at = [&](int k) { return q.corners[static_cast<std::size_t>((k + turn) % 4)]; };
  const Point a = at(0), b = at(1), c = at(2), d = at(3);
  return {{(b.x + c.x - a.x - d.x) / 2, (b.y + c.y - a.y - d.y) / 2},
          {(c.x + d.x - a.x - b.x) / 2, (c.y + d.y - a.y - b.y) / 2}};
}

double length(Point p) { return std::hypot(p.x, p.y); }

// Turns `q` so that it goes along with `like`; false when its sides are of other lengths or directions.
bool alike(const Axes& like, const Quad& q, Axes& out) {
  for (int turn = 0; turn < 4; ++turn) {
    out = axes_of(q, turn);
    const double lu = length(like.u), lv = length(like.v), mu = length(out.u), mv = length(out.v);
    const double along_u = (like.u.x * out.u.x + like.u.y * out.u.y) / (lu * mu);
    const double along_v = (like.v.x * out.v.x + like.v.y * out.v.y) / (lv * mv);
    if (along_u > 0.9 && along_v > 0.9) return mu < 1.6 * lu && lu < 1.6 * mu && mv < 1.6 * lv && lv < 1.6 * mv;
  }
  return false;
}

struct Member {
  std::size_t quad;
  int i, j;
  Axes axes;
};

// The nearest quadrilateral like this one in a direction, no further than a patch and as wide a gap.
std::size_t neighbour(const std::vector<Quad>& quads, const Member& m, int di, int dj, Axes& axes) {
  const Quad& q = quads[m.quad];
  const Axes& a = m.axes;
  const double det = a.u.x * a.v.y - a.u.y * a.v.x;
  double nearest = 2.2;
  std::size_t best = quads.size();
  for (std::size_t n = 0; n < quads.size(); ++n) {
    if (n == m.quad) continue;
    const Point d{quads[n].middle.x - q.middle.x, quads[n].middle.y - q.middle.y};
    const double s = (d.x * a.v.y - d.y * a.v.x) / det, t = (a.u.x * d.y - a.u.y * d.x) / det;
    const double ahead = s * di + t * dj, aside = std::abs(s * dj) + std::abs(t * di);
    if (ahead < 0.8 || ahead > nearest || aside > 0.35 * ahead) continue;
    Axes turned;
    if (quads[n].area > 2 * q.area || q.area > 2 * quads[n].area || !alike(a, quads[n], turned)) continue;
    nearest = ahead;
    best = n;
    axes = turned;
  }
  return best;
}

// A square partly covered is smaller than its cell wants, and its middle is not the cell's.
bool drop_odd_sizes(std::vector<Lattice::Square>& squares, const Homography& h) {
  std::vector<double> share;
  for (const auto& s : squares) {
    const auto at = [&](double di, double dj) { return h.map({s.i + di, s.j + dj}); };
    const Point a = at(-0.5, -0.5), b = at(0.5, -0.5), c = at(0.5, 0.5), d = at(-0.5, 0.5);
    share.push_back(2 * s.area / std::abs((c.x - a.x) * (d.y - b.y) - (c.y - a.y) * (d.x - b.x)));
  }
  std::vector<double> sorted = share;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double usual = sorted[sorted.size() / 2];
  std::vector<Lattice::Square> kept;
  for (std::size_t n = 0; n < squares.size(); ++n)
    if (share[n] > 0.8 * usual && share[n] < 1.3 * usual) kept.push_back(squares[n]);
  const bool dropped = kept.size() < squares.size();
  squares = std::move(kept);
  return dropped;
}

// Least squares over the members; those that are off by more than a fifth of a cell, or than four times the middling
// one, go.
bool fit(std::vector<Lattice::Square>& squares, std::size_t least, Lattice& out) {
  for (int round = 0; round < 12; ++round) {
    if (squares.size() < least) return false;
    std::vector<Point> from, to;
    for (const auto& s : squares) {
      from.push_back({static_cast<double>(s.i), static_cast<double>(s.j)});
      to.push_back(s.middle);
    }
    const auto h = homography(from, to);
    if (!h) return false;
    const auto back = inverse(*h);
    if (!back) return false;
    std::vector<double> off;
    double sum = 0, worst = 0;
    for (std::size_t n = 0; n < squares.size(); ++n) {
      const Point p = back->map(to[n]);
      off.push_back(length({p.x - from[n].x, p.y - from[n].y}));
      sum += off.back() * off.back();
      worst = std::max(worst, off.back());
    }
    out.to_picture = *h;
    out.rms = std::sqrt(sum / static_cast<double>(squares.size()));
    out.squares = squares;
    std::vector<double> sorted = off;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
    const double most = std::clamp(4 * sorted[sorted.size() / 2], 0.05, 0.2);
    if (worst < most) return drop_odd_sizes(squares, *h) ? fit(squares, least, out) : true;
    std::vector<Lattice::Square> kept;
    for (std::size_t n = 0; n < squares.size(); ++n)
      if (off[n] < std::max(most, 0.7 * worst)) kept.push_back(squares[n]);
    squares = std::move(kept);
  }
  return false;
}

}  // namespace

std::vector<Lattice> lattices(const std::vector<Quad>& quads, std::size_t least) {
  std::vector<Lattice> out;
  std::vector<bool> used(quads.size(), false);
  for (std::size_t seed = 0; seed < quads.size(); ++seed) {
    if (used[seed]) continue;
    std::map<std::pair<int, int>, std::size_t> at;
    std::deque<Member> next;
    std::vector<Lattice::Square> squares;
    const auto take = [&](const Member& m) {
      used[m.quad] = true;
      at[{m.i, m.j}] = m.quad;
      squares.push_back({m.i, m.j, quads[m.quad].middle, quads[m.quad].area});
      next.push_back(m);
    };
    take({seed, 0, 0, axes_of(quads[seed], 0)});
    while (!next.empty()) {
      const Member m = next.front();
      next.pop_front();
      for (const auto& [di, dj] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
        if (at.contains({m.i + di, m.j + dj})) continue;
        Axes axes;
        const std::size_t n = neighbour(quads, m, di, dj, axes);
        if (n < quads.size() && !used[n]) take({n, m.i + di, m.j + dj, axes});
      }
    }
    Lattice lattice;
    if (squares.size() >= least && fit(squares, least, lattice)) out.push_back(std::move(lattice));
  }
  return out;
}

}  // namespace tackcloth::picture
