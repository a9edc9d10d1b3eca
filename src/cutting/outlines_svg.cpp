#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <numbers>
#include <set>

#include "cutting/outlines.h"
#include "shape/draw.h"

namespace tackcloth::cutting {

namespace {

using shape::Point;
using Ring = std::vector<Point>;

constexpr double kFlatMm = 0.01;

// Numbers of a list, whatever stands between them.
struct Reader {
  std::string_view text;
  void skip() {
    const auto at = text.find_first_not_of(" \t\r\n,");
    text = at == std::string_view::npos ? std::string_view() : text.substr(at);
  }
  std::optional<double> number() {
    skip();
    std::string_view rest = text;
    if (!rest.empty() && rest[0] == '+') rest.remove_prefix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    if (error != std::errc()) return std::nullopt;
    text = rest.substr(static_cast<std::size_t>(end - rest.data()));
    return value;
  }
  std::optional<double> flag() {  // of an arc: one digit, perhaps with nothing after it
    skip();
    if (text.empty() || (text[0] != '0' && text[0] != '1')) return std::nullopt;
    const double value = text[0] - '0';
    text.remove_prefix(1);
    return value;
  }
};

// Rings of a path's `d`; nothing when it cannot be read or a ring is not closed. `unit`: millimetres a unit.
class Path {
 public:
  explicit Path(double unit) : unit_(unit) {}

  std::optional<std::vector<Ring>> read(std::string_view d) {
    Reader in{d};
    char command = 0;
    for (in.skip(); !in.text.empty(); in.skip()) {
      if (std::isalpha(static_cast<unsigned char>(in.text[0]))) {
        command = in.text[0];
        in.text.remove_prefix(1);
      } else if (command == 'M' || command == 'm') {
        command = command == 'M' ? 'L' : 'l';
      }
      if (!step(command, in)) return std::nullopt;
    }
    if (ring_.size() > 1 && !ends_where_it_began()) return std::nullopt;
    close();
    return rings_.empty() ? std::nullopt : std::optional(std::move(rings_));
  }

  void ellipse(Point center, double rx, double ry, double from, double sweep, double turned) {
    const double widest = std::max(rx, ry) * unit_;
    const double step = 2 * std::acos(std::max(0.5, 1 - kFlatMm / std::max(widest, 1e-6)));
    const int n = std::clamp(static_cast<int>(std::ceil(std::abs(sweep) / step)), 1, 2000);
    for (int k = 1; k <= n; ++k) {
      const double a = from + sweep * k / n, x = rx * std::cos(a), y = ry * std::sin(a);
      to({center.x + x * std::cos(turned) - y * std::sin(turned),
          center.y + x * std::sin(turned) + y * std::cos(turned)});
    }
  }
  std::vector<Ring> rings() {
    close();
    return std::move(rings_);
  }
  void to(Point p) {
    ring_.push_back(p);
    at_ = p;
  }

 private:
  bool ends_where_it_began() const {
    return std::hypot(ring_.front().x - ring_.back().x, ring_.front().y - ring_.back().y) * unit_ < kFlatMm;
  }
  void close() {
    if (ring_.size() > 1 && ends_where_it_began()) ring_.pop_back();
    if (ring_.size() > 2) rings_.push_back(ring_);
    ring_.clear();
  }
  void curve(Point a, Point b, Point end) {
    const Point from = at_;
    const double bend = std::max(std::hypot(from.x - 2 * a.x + b.x, from.y - 2 * a.y + b.y),
                                 std::hypot(a.x - 2 * b.x + end.x, a.y - 2 * b.y + end.y));
    // A chord is off by at most 1/8 of the second derivative over n².
    const int n = std::clamp(static_cast<int>(std::ceil(std::sqrt(6 * bend * unit_ / (8 * kFlatMm)))), 1, 500);
    for (int k = 1; k <= n; ++k) {
      const double t = double(k) / n, s = 1 - t;
      to({s * s * s * from.x + 3 * s * s * t * a.x + 3 * s * t * t * b.x + t * t * t * end.x,
          s * s * s * from.y + 3 * s * s * t * a.y + 3 * s * t * t * b.y + t * t * t * end.y});
    }
    control_ = b;
  }
  // Endpoint to centre: SVG 1.1, appendix F.6.5.
  void arc(double rx, double ry, double turned, bool large, bool sweeps, Point end) {
    rx = std::abs(rx);
    ry = std::abs(ry);
    if (rx == 0 || ry == 0 || (end.x == at_.x && end.y == at_.y)) return to(end);
    const double c = std::cos(turned), s = std::sin(turned);
    const double dx = (at_.x - end.x) / 2, dy = (at_.y - end.y) / 2;
    const double x = c * dx + s * dy, y = -s * dx + c * dy;
    const double over = x * x / (rx * rx) + y * y / (ry * ry);
    if (over > 1) {
      rx *= std::sqrt(over);
      ry *= std::sqrt(over);
    }
    const double below = rx * rx * y * y + ry * ry * x * x;
    const double f = (large == sweeps ? -1 : 1) * std::sqrt(std::max(0.0, (rx * rx * ry * ry - below) / below));
    const double cx = f * rx * y / ry, cy = -f * ry * x / rx;
    const Point center{c * cx - s * cy + (at_.x + end.x) / 2, s * cx + c * cy + (at_.y + end.y) / 2};
    const double from = std::atan2((y - cy) / ry, (x - cx) / rx), till = std::atan2((-y - cy) / ry, (-x - cx) / rx);
    double sweep = till - from;
    if (sweeps && sweep < 0) sweep += 2 * std::numbers::pi;
    if (!sweeps && sweep > 0) sweep -= 2 * std::numbers::pi;
    ellipse(center, rx, ry, from, sweep, turned);
    ring_.back() = end;
    at_ = end;
  }

  bool step(char command, Reader& in) {
    const bool relative = command >= 'a';
    const Point base = relative ? at_ : Point{};
    double v[7] = {};
    const auto take = [&](int count) {
      for (int k = 0; k < count; ++k) {
        const bool flag = count == 7 && (k == 3 || k == 4);
        const auto value = flag ? in.flag() : in.number();
        if (!value) return false;
        v[k] = *value;
      }
      return true;
    };
    const auto point = [&](int k) { return Point{base.x + v[k], base.y + v[k + 1]}; };
    const char kind = static_cast<char>(std::toupper(static_cast<unsigned char>(command)));
    const Point mirrored = {2 * at_.x - control_.x, 2 * at_.y - control_.y};
    switch (kind) {
      case 'M':
        if (!take(2)) return false;
        if (ring_.size() > 1 && !ends_where_it_began()) return false;
        close();
        begin_ = point(0);
        to(begin_);
        break;
      case 'L':
        if (!take(2)) return false;
        to(point(0));
        break;
      case 'H':
        if (!take(1)) return false;
        to({base.x + v[0], at_.y});
        break;
      case 'V':
        if (!take(1)) return false;
        to({at_.x, base.y + v[0]});
        break;
      case 'C':
        if (!take(6)) return false;
        curve(point(0), point(2), point(4));
        break;
      case 'S':
        if (!take(4)) return false;
        curve(before_ == 'C' || before_ == 'S' ? mirrored : at_, point(0), point(2));
        break;
      case 'Q':
      case 'T': {
        if (!take(kind == 'Q' ? 4 : 2)) return false;
        const Point q = kind == 'Q' ? point(0) : before_ == 'Q' || before_ == 'T' ? mirrored : at_;
        const Point end = point(kind == 'Q' ? 2 : 0), from = at_;
        curve({from.x + 2 * (q.x - from.x) / 3, from.y + 2 * (q.y - from.y) / 3},
              {end.x + 2 * (q.x - end.x) / 3, end.y + 2 * (q.y - end.y) / 3}, end);
        control_ = q;
        break;
      }
      case 'A':
        if (!take(7)) return false;
        arc(v[0], v[1], v[2] * std::numbers::pi / 180, v[3] > 0, v[4] > 0, point(5));
        break;
      case 'Z':
        if (ring_.empty()) return false;
        to(begin_);
        close();
        at_ = begin_;
        break;
      default:
        return false;
    }
    before_ = kind;
    return true;
  }

  double unit_;
  std::vector<Ring> rings_;
  Ring ring_;
  Point at_, begin_, control_;
  char before_ = 0;
};

struct Element {
  std::string name;
  std::map<std::string, std::string> attributes;
  bool closes = false, empty = false;
  int line = 1;
  std::string get(const std::string& key) const {
    const auto at = attributes.find(key);
    return at == attributes.end() ? "" : at->second;
  }
  double number(const std::string& key) const {
    const std::string text = get(key);
    Reader in{text};
    return in.number().value_or(0);
  }
};

// Tags one after the other; text, comments and declarations are passed over.
class Tags {
 public:
  explicit Tags(std::string_view text) : text_(text) {}
  std::optional<Element> next() {
    for (;;) {
      const std::size_t open = text_.find('<', at_);
      if (open == std::string_view::npos) return std::nullopt;
      line_ += static_cast<int>(
          std::count(text_.begin() + static_cast<long>(at_), text_.begin() + static_cast<long>(open), '\n'));
      at_ = open;
      for (const auto& [start, end] : {std::pair<std::string_view, std::string_view>{"<!--", "-->"},
                                       {"<![CDATA[", "]]>"},
                                       {"<?", "?>"},
                                       {"<!", ">"}})
        if (text_.substr(at_).starts_with(start)) {
          const std::size_t close = text_.find(end, at_);
          skipped_ = true;
          const std::size_t to = close == std::string_view::npos ? text_.size() : close + end.size();
          line_ += static_cast<int>(
              std::count(text_.begin() + static_cast<long>(at_), text_.begin() + static_cast<long>(to), '\n'));
          at_ = to;
          break;
        }
      if (skipped_) {
        skipped_ = false;
        continue;
      }
      return element();
    }
  }

 private:
  std::optional<Element> element() {
    Element e;
    e.line = line_;
    std::size_t i = at_ + 1;
    e.closes = i < text_.size() && text_[i] == '/';
    if (e.closes) ++i;
    const auto word = [&] {
      std::string out;
      while (i < text_.size() && !std::isspace(static_cast<unsigned char>(text_[i])) && text_[i] != '>' &&
             text_[i] != '/' && text_[i] != '=')
        out += text_[i++];
      return out;
    };
    const auto space = [&] {
      while (i < text_.size() && std::isspace(static_cast<unsigned char>(text_[i]))) ++i;
    };
    e.name = word();
    for (space(); i < text_.size() && text_[i] != '>'; space()) {
      if (text_[i] == '/') {
        e.empty = true;
        ++i;
        continue;
      }
      const std::string key = word();
      space();
      if (key.empty() || i >= text_.size() || text_[i] != '=') return std::nullopt;
      ++i;
      space();
      if (i >= text_.size() || (text_[i] != '"' && text_[i] != '\'')) return std::nullopt;
      const std::size_t close = text_.find(text_[i], i + 1);
      if (close == std::string_view::npos) return std::nullopt;
      e.attributes[key] = std::string(text_.substr(i + 1, close - i - 1));
      i = close + 1;
    }
    if (i >= text_.size()) return std::nullopt;
    line_ += static_cast<int>(
        std::count(text_.begin() + static_cast<long>(at_), text_.begin() + static_cast<long>(i), '\n'));
    at_ = i + 1;
    return e;
  }
  std::string_view text_;
  std::size_t at_ = 0;
  int line_ = 1;
  bool skipped_ = false;
};

// CSS Values 3, 5.2: absolute lengths. 0: another unit, or none given.
double mm_of(const std::string& text) {
  Reader in{text};
  const auto value = in.number();
  if (!value) return 0;
  static const std::map<std::string, double> units = {{"", 25.4 / 96}, {"px", 25.4 / 96}, {"mm", 1},       {"cm", 10},
                                                      {"in", 25.4},    {"pt", 25.4 / 72}, {"pc", 25.4 / 6}};
  const auto unit = units.find(std::string(in.text));
  return unit == units.end() ? 0 : *value * unit->second;
}

}  // namespace

Results<std::vector<Wanted>> outlines_from_svg(std::string_view text, const std::string& file) {
  std::vector<Problem> problems;
  std::vector<Wanted> wanted;
  std::set<std::string> ids;
  const auto wrong = [&](int line, std::string what, std::string expected, std::string remedy) {
    problems.push_back({file, line, 0, std::move(what), std::move(expected), std::move(remedy)});
  };
  static const std::set<std::string> kAside = {"defs", "clipPath", "mask", "pattern", "symbol", "marker"};
  double unit = 25.4 / 96;
  int aside = 0, number = 0;
  bool svg = false;
  Tags tags(text);
  while (const auto e = tags.next()) {
    if (kAside.count(e->name) > 0 && !e->empty) aside += e->closes ? -1 : 1;
    if (e->closes || aside > 0) continue;
    if (!e->get("transform").empty())
      wrong(e->line, "<" + e->name + "> is under a transform", "coordinates as they are drawn",
            "apply the transforms in the drawing program before it is saved");
    if (e->name == "svg" && !svg) {
      svg = true;
      const double width = mm_of(e->get("width"));
      const std::string box = e->get("viewBox");
      Reader in{box};
      in.number();
      in.number();
      const auto units = in.number();
      if (units && *units > 0 && width > 0) unit = width / *units;
      continue;
    }
    Path path(unit);
    std::optional<std::vector<Ring>> rings;
    if (e->name == "path") {
      rings = path.read(e->get("d"));
    } else if (e->name == "polygon" || e->name == "polyline") {
      rings = path.read("M" + e->get("points") + (e->name == "polygon" ? "Z" : ""));
    } else if (e->name == "rect") {
      const double x = e->number("x"), y = e->number("y"), w = e->number("width"), h = e->number("height");
      if (e->number("rx") > 0 || e->number("ry") > 0)
        wrong(e->line, "a rectangle has round corners", "a path", "turn it into a path in the drawing program");
      path.to({x, y});
      path.to({x + w, y});
      path.to({x + w, y + h});
      path.to({x, y + h});
      rings = path.rings();
    } else if (e->name == "circle" || e->name == "ellipse") {
      const bool round = e->name == "circle";
      path.ellipse({e->number("cx"), e->number("cy")}, e->number(round ? "r" : "rx"), e->number(round ? "r" : "ry"), 0,
                   2 * std::numbers::pi, 0);
      rings = path.rings();
    } else {
      continue;
    }
    Wanted one;
    one.id = e->get("id").empty() ? "part " + std::to_string(++number) : e->get("id");
    if (!ids.insert(one.id).second)
      wrong(e->line, "the id '" + one.id + "' is there twice", "one id a part", "rename one");
    if (!rings || rings->empty()) {
      wrong(e->line, "'" + one.id + "' is not a closed outline that can be read", "closed paths",
            "close the path, or take lines that are not to be cut out of the file");
      continue;
    }
    std::vector<shape::Region> drawn;
    for (Ring& ring : *rings) {
      for (Point& p : ring) p = {p.x * unit, -p.y * unit};  // y runs down in SVG
      const auto region = shape::polygon(ring);
      if (region)
        drawn.push_back(*region);
      else
        wrong(e->line, "'" + one.id + "': " + region.error().what, region.error().expected, region.error().remedy);
    }
    if (drawn.size() != rings->size()) continue;
    std::stable_sort(drawn.begin(), drawn.end(),
                     [](const auto& a, const auto& b) { return shape::area_mm2(a) > shape::area_mm2(b); });
    one.outline = drawn.front();
    for (std::size_t k = 1; k < drawn.size(); ++k) {
      const double before = shape::area_mm2(one.outline);
      one.outline = shape::subtract(one.outline, drawn[k]);
      if (std::abs(before - shape::area_mm2(one.outline) - shape::area_mm2(drawn[k])) > 1)
        wrong(e->line, "'" + one.id + "' is in several pieces, or its holes touch", "one outline with holes in it",
              "break the path apart: one path a part");
    }
    const shape::Box box = shape::bounds(one.outline);
    for (shape::Outline& outline : one.outline.outlines)
      for (shape::Edge& edge : outline.edges) edge.to = {edge.to.x - box.left, edge.to.y - box.bottom};
    one.width = std::llround(box.width() * 1000);
    one.height = std::llround(box.height() * 1000);
    wanted.push_back(std::move(one));
  }
  if (!svg) wrong(0, "this is no SVG", "a drawing saved as SVG", "save it as SVG 1.1");
  if (problems.empty() && wanted.empty())
    wrong(0, "there is no closed outline in the drawing", "paths, rectangles, circles, polygons", "draw one");
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return wanted;
}

}  // namespace tackcloth::cutting
