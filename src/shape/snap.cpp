#include "shape/snap.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "shape/arc.h"
#include "shape/draw.h"
#include "shape/same.h"

namespace tackcloth::shape {

namespace {

constexpr double kFarMm = 1e6;

enum Rank { center_line, third, face_edge, margin, zone_line, in_line };

// An upright line at x, or a level one at y.
struct Line {
  double at;
  Rank rank;
  std::string why;
};

struct CornerAt {
  Point at;
  std::string why;
};

struct Curve {
  Segment segment;
  std::string why;
};

struct Found {
  double at;
  double away;
  std::string why;
};

class Targets {
 public:
  Targets(const Region& face, const std::vector<SnapZone>& others, const std::vector<double>& margins) {
    const Box box = bounds(face);
    const auto across = [](std::vector<Line>& lines, double low, double high) {
      lines.push_back({(low + high) / 2, center_line, "centre line"});
      lines.push_back({low + (high - low) / 3, third, "third"});
      lines.push_back({low + (high - low) * 2 / 3, third, "third"});
    };
    across(upright_, box.left, box.right);
    across(level_, box.bottom, box.top);
    for (const double away : margins) {
      if (!(away > kSame)) continue;  // at the edge itself, or not a number
      upright_.push_back({box.left + away, margin, "equal margin"});
      upright_.push_back({box.right - away, margin, "equal margin"});
      level_.push_back({box.bottom + away, margin, "equal margin"});
      level_.push_back({box.top - away, margin, "equal margin"});
    }
    add(face, face_edge, "edge of the face", "corner of the face", "");
    for (const SnapZone& zone : others)
      add(zone.region, zone_line, "line of zone " + zone.name, "corner of zone " + zone.name,
          "in line with zone " + zone.name);
  }

  std::optional<Found> nearest_upright(double x, double reach) const { return nearest(upright_, x, reach); }
  std::optional<Found> nearest_level(double y, double reach) const { return nearest(level_, y, reach); }
  const std::vector<CornerAt>& corners() const { return corners_; }
  const std::vector<Curve>& curves() const { return curves_; }

 private:
  void add(const Region& region, Rank rank, const std::string& line, const std::string& corner,
           const std::string& beside) {
    for (const Outline& outline : region.outlines)
      for (const Segment& s : segments(outline)) {
        corners_.push_back({s.to, corner});
        if (!beside.empty()) {
          upright_.push_back({s.to.x, in_line, beside});
          level_.push_back({s.to.y, in_line, beside});
        }
        if (!s.straight()) {
          curves_.push_back({s, line});
          if (!beside.empty()) {
            upright_.push_back({s.center.x, in_line, beside});
            level_.push_back({s.center.y, in_line, beside});
          }
        } else if (std::abs(s.from.x - s.to.x) < kSame) {
          upright_.push_back({s.to.x, rank, line});
        } else if (std::abs(s.from.y - s.to.y) < kSame) {
          level_.push_back({s.to.y, rank, line});
        } else {
          curves_.push_back({s, line});
        }
      }
  }

  static std::optional<Found> nearest(const std::vector<Line>& lines, double at, double reach) {
    const Line* best = nullptr;
    for (const Line& line : lines) {
      const double away = std::abs(line.at - at);
      if (away > reach) continue;
      const double least = best ? std::abs(best->at - at) : 0;
      if (!best || away < least - kSame ||
          (away < least + kSame && (line.rank < best->rank || (line.rank == best->rank && line.at < best->at - kSame))))
        best = &line;
    }
    if (!best) return std::nullopt;
    return Found{best->at, std::abs(best->at - at), best->why};
  }

  std::vector<Line> upright_, level_;
  std::vector<CornerAt> corners_;
  std::vector<Curve> curves_;
};

bool lower(Point a, Point b) { return a.x < b.x - kSame || (a.x < b.x + kSame && a.y < b.y - kSame); }

// Where the curve crosses an upright (or level) line, nearest to `point`, within `reach` of it.
std::optional<Point> crossing(const Segment& curve, double at, bool upright, Point point, double reach) {
  const Segment line = upright ? segment({at, point.y - 2 * reach}, {at, point.y + 2 * reach}, 0)
                               : segment({point.x - 2 * reach, at}, {point.x + 2 * reach, at}, 0);
  std::optional<Point> best;
  for (const double t : meetings(curve, line)) {
    const Point p = curve.at(t);
    if (distance(p, point) <= reach && (!best || distance(p, point) < distance(*best, point) - kSame)) best = p;
  }
  return best;
}

double on_grid(double value, double zero, double step) { return zero + std::round((value - zero) / step) * step; }

}  // namespace

Snap snap(Point point, const Region& face, const std::vector<SnapZone>& others, const SnapOptions& options) {
  Snap result{point, "", ""};
  if (!(std::abs(point.x) < kFarMm) || !(std::abs(point.y) < kFarMm)) return result;
  const Box box = bounds(face);
  const double reach = options.reach_mm > 0 && std::isfinite(options.reach_mm) ? options.reach_mm : 0;
  if (reach > 0) {
    const Targets targets(face, others, options.margins_mm);
    double best = reach + kSame;  // what a later kind has to undercut
    bool held = false;
    const CornerAt* corner = nullptr;
    for (const CornerAt& one : targets.corners()) {
      const double away = distance(one.at, point);
      if (away < best - kSame || (corner && away < best + kSame && lower(one.at, corner->at))) {
        best = away;
        corner = &one;
      }
    }
    if (corner) {
      result = {corner->at, corner->why, corner->why};
      held = true;
    }
    const auto x = targets.nearest_upright(point.x, reach), y = targets.nearest_level(point.y, reach);
    for (const Curve& curve : targets.curves()) {
      double away = 0;
      const double t = curve.segment.nearest(point, away);
      if (!(away < best - kSame)) continue;
      best = away;
      held = true;
      result = {curve.segment.at(t), curve.why, curve.why};
      // A crossing pins it down in both directions.
      const auto at_x = x ? crossing(curve.segment, x->at, true, point, reach) : std::nullopt;
      const auto at_y = y ? crossing(curve.segment, y->at, false, point, reach) : std::nullopt;
      if (at_x && (!at_y || distance(*at_x, point) <= distance(*at_y, point) + kSame))
        result = {*at_x, x->why, curve.why};
      else if (at_y)
        result = {*at_y, curve.why, y->why};
    }
    const double moved = std::hypot(x ? x->away : 0, y ? y->away : 0);
    if ((x || y) && (!held || moved < best - kSame)) {
      result = {point, "", ""};
      if (x) {
        result.to.x = x->at;
        result.x_why = x->why;
      }
      if (y) {
        result.to.y = y->at;
        result.y_why = y->why;
      }
    }
  }
  if (options.grid_mm > 0 && std::isfinite(options.grid_mm)) {
    if (result.x_why.empty()) {
      result.to.x = on_grid(point.x, box.left, options.grid_mm);
      result.x_why = options.grid_name;
    }
    if (result.y_why.empty()) {
      result.to.y = on_grid(point.y, box.bottom, options.grid_mm);
      result.y_why = options.grid_name;
    }
  }
  return result;
}

}  // namespace tackcloth::shape
