#include "sheet/template.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "shape/arc.h"
#include "shape/draw.h"
#include "sheet/canvas.h"
#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr double kMm = 72 / 25.4;  // points
constexpr int kMostSheets = 200;
constexpr double kOverlap = 10;  // mm, of neighbouring sheets
// Most printers leave 5 mm or less unprinted: common practice, no source.
constexpr double kTemplateMargin = 10;
constexpr double kHeader = 27, kFooter = 18;
constexpr double kMapWidth = 44, kMapHeight = 24;
constexpr double kMarkArm = 4;

// Line widths, points.
constexpr double kOutlineLine = 1.2, kFaceLine = 0.8, kCenterLine = 0.5, kMarkLine = 0.7, kSeamLine = 0.3,
                 kRuleLine = 0.9;
constexpr Ink kFaint{0.78, 0.76, 0.73};

struct Layout {
  bool landscape = false;
  Size page;                     // points
  double width = 0, height = 0;  // of a sheet's drawing, mm
  double columns = 0, rows = 0;  // whole numbers
  double left = 0, top = 0;      // of the first sheet's drawing, on the face, mm
  double step_x() const { return width - kOverlap; }
  double step_y() const { return height - kOverlap; }
  double sheets() const { return columns * rows; }
};

double tiles(double whole, double sheet) {
  return whole <= sheet ? 1 : std::ceil((whole - kOverlap) / (sheet - kOverlap) - 1e-9);
}

Layout layout_of(const shape::Box& box, Paper paper, bool landscape) {
  Layout layout;
  layout.landscape = landscape;
  layout.page = size_of(paper);
  if (landscape) std::swap(layout.page.width, layout.page.height);
  layout.width = layout.page.width / kMm - 2 * kTemplateMargin;
  layout.height = layout.page.height / kMm - 2 * kTemplateMargin - kHeader - kFooter;
  // Half an overlap all around, so that the outer crosses stand clear of the zone.
  layout.columns = tiles(box.width() + kOverlap, layout.width);
  layout.rows = tiles(box.height() + kOverlap, layout.height);
  layout.left = box.center().x - (layout.columns * layout.step_x() + kOverlap) / 2;
  layout.top = box.center().y + (layout.rows * layout.step_y() + kOverlap) / 2;
  return layout;
}

// A, B, ... Z, AA, AB, ...
std::string letters(int n) {
  std::string name(1, static_cast<char>('A' + n % 26));
  return n < 26 ? name : letters(n / 26 - 1) + name;
}

std::string area(double m2, units::System system) {
  if (system == units::System::metric && m2 < 1) return number(m2 * 1e4, 0) + " cm²";
  return units::format_area(m2, system);
}

class Drawer {
 public:
  Drawer(const ZoneTemplate& zone, const Layout& layout, Instant made_at, const Tongue& tongue)
      : zone_(zone),
        layout_(layout),
        box_(shape::bounds(zone.region)),
        face_(shape::bounds(zone.face_region)),
        canvas_(layout.page,
                tongue.fill("Template: {what}",
                            {zone.piece + ", " + tongue.parts(zone.part) + ", " + tongue.parts(zone.zone)}),
                "Tackcloth", made_at, tongue) {
    cairo_set_tolerance(canvas_.cairo(), 0.01);  // points: arcs become splines that keep to it
  }

  Result<std::string> draw() {
    const int columns = static_cast<int>(layout_.columns), rows = static_cast<int>(layout_.rows);
    for (int row = 0; row < rows; ++row)
      for (int column = 0; column < columns; ++column) {
        header(row, column);
        sheet(row, column);
        footer();
        canvas_.end_page();
      }
    return canvas_.finish();
  }

 private:
  // From here on one unit is one millimetre of the face, y up, with the sheet's own corner in place.
  void on_face(int row, int column) const {
    cairo_t* c = canvas_.cairo();
    cairo_translate(c, kTemplateMargin * kMm, (kTemplateMargin + kHeader) * kMm);
    cairo_scale(c, kMm, -kMm);
    cairo_translate(c, -(layout_.left + column * layout_.step_x()), -(layout_.top - row * layout_.step_y()));
  }

  void path(const shape::Region& region) const {
    cairo_t* c = canvas_.cairo();
    cairo_new_path(c);
    for (const shape::Outline& outline : region.outlines) {
      cairo_new_sub_path(c);
      bool first = true;
      for (const shape::Segment& s : shape::segments(outline)) {
        if (first) cairo_move_to(c, s.from.x, s.from.y);
        first = false;
        if (s.straight())
          cairo_line_to(c, s.to.x, s.to.y);
        else if (s.sweep > 0)
          cairo_arc(c, s.center.x, s.center.y, s.radius, s.from_angle, s.from_angle + s.sweep);
        else
          cairo_arc_negative(c, s.center.x, s.center.y, s.radius, s.from_angle, s.from_angle + s.sweep);
      }
      cairo_close_path(c);
    }
  }

  // Strokes the path with a width in points, whatever the scale.
  void stroke(double width, std::vector<double> dashes = {}) const {
    cairo_t* c = canvas_.cairo();
    cairo_save(c);
    cairo_identity_matrix(c);
    cairo_set_line_width(c, width);
    cairo_set_dash(c, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_stroke(c);
    cairo_restore(c);
  }

  void line(double x0, double y0, double x1, double y1) const {
    cairo_move_to(canvas_.cairo(), x0, y0);
    cairo_line_to(canvas_.cairo(), x1, y1);
  }

  void header(int row, int column) const {
    const Tongue& tongue = canvas_.tongue();
    const auto length = [&](double mm) { return tongue.number(units::format_length(mm, zone_.system)); };
    const double x = kTemplateMargin * kMm, width = (layout_.width - kMapWidth - 4) * kMm;
    const int columns = static_cast<int>(layout_.columns), rows = static_cast<int>(layout_.rows);
    double y = kTemplateMargin * kMm;
    const auto write = [&](const std::vector<Span>& spans) {
      const Text text(canvas_, spans, width, 1);
      text.draw(canvas_, x, y);
      y += text.height();
    };
    write({{zone_.piece + ", " + tongue.parts(zone_.part) + ": " + tongue.parts(zone_.zone), true, kInk}});
    const std::string place = tongue.fill("Row {n} of {n2}, sheet {n3} of {n4}.",
                                          {std::to_string(row + 1), std::to_string(rows),
                                           std::to_string(row * columns + column + 1), std::to_string(rows * columns)});
    write({{place + " ", true, kInk},
           {tongue.fill("{n} x {n2} on the {part}",
                        {length(box_.width()), length(box_.height()), tongue.parts(zone_.face)}),
            false, kInk}});
    const std::string size =
        tongue.fill("Area {n}, tape {n2}", {tongue.number(area(zone_.area_m2, zone_.system)), length(zone_.tape_mm)});
    write({{zone_.count > 1 ? tongue.fill("{size}, for each of {n}", {size, std::to_string(zone_.count)}) : size, false,
            kInk}});
    write({{tongue.fill("Lowest point {n} from the bottom edge", {length(box_.bottom - face_.bottom)}), false, kInk}});
    write(
        {{tongue.fill("Middle (dash and dot) {n} from the left edge (dashed)", {length(box_.center().x - face_.left)}),
          false, kInk}});
    map(row, column);
  }

  // The face with its zone and the sheets, this one with a heavy line.
  void map(int row, int column) const {
    cairo_t* c = canvas_.cairo();
    const double right = layout_.left + layout_.columns * layout_.step_x() + kOverlap;
    const double bottom = layout_.top - layout_.rows * layout_.step_y() - kOverlap;
    shape::Box all = face_;
    all.left = std::min(all.left, layout_.left);
    all.right = std::max(all.right, right);
    all.top = std::max(all.top, layout_.top);
    all.bottom = std::min(all.bottom, bottom);
    const double scale = std::min(kMapWidth / all.width(), kMapHeight / all.height()) * kMm;
    cairo_save(c);
    cairo_translate(c, (kTemplateMargin + layout_.width) * kMm - all.width() * scale, kTemplateMargin * kMm);
    cairo_scale(c, scale, -scale);
    cairo_translate(c, -all.left, -all.top);
    path(zone_.region);
    canvas_.ink(kFaint);
    cairo_fill(c);
    path(zone_.face_region);
    stroke(0.6);
    // The sheets' middles of overlap, as on the sheets.
    const double x0 = layout_.left + kOverlap / 2, y0 = layout_.top - kOverlap / 2;
    const int columns = static_cast<int>(layout_.columns), rows = static_cast<int>(layout_.rows);
    for (int i = 0; i <= columns; ++i)
      line(x0 + i * layout_.step_x(), y0, x0 + i * layout_.step_x(), y0 - rows * layout_.step_y());
    for (int j = 0; j <= rows; ++j)
      line(x0, y0 - j * layout_.step_y(), x0 + columns * layout_.step_x(), y0 - j * layout_.step_y());
    canvas_.ink(kSoft);
    stroke(0.25);
    canvas_.ink(kInk);
    cairo_rectangle(c, x0 + column * layout_.step_x(), y0 - (row + 1) * layout_.step_y(), layout_.step_x(),
                    layout_.step_y());
    stroke(1.6);
    cairo_restore(c);
    canvas_.ink(kInk);
  }

  void sheet(int row, int column) const {
    cairo_t* c = canvas_.cairo();
    const bool many = layout_.sheets() > 1;
    const double x0 = layout_.left + column * layout_.step_x() + kOverlap / 2;
    const double y0 = layout_.top - row * layout_.step_y() - kOverlap / 2;
    const double xs[] = {x0, x0 + layout_.step_x()}, ys[] = {y0, y0 - layout_.step_y()};
    cairo_save(c);
    cairo_rectangle(c, kTemplateMargin * kMm, (kTemplateMargin + kHeader) * kMm, layout_.width * kMm,
                    layout_.height * kMm);
    cairo_clip(c);
    on_face(row, column);
    path(zone_.face_region);
    canvas_.ink(kSoft);
    stroke(kFaceLine, {6, 4});
    const double middle = box_.center().x;
    line(middle, box_.bottom - kOverlap / 2, middle, box_.top + kOverlap / 2);
    stroke(kCenterLine, {9, 3, 1.5, 3});
    if (many) {
      for (const double x : xs) line(x, ys[0], x, ys[1]);
      for (const double y : ys) line(xs[0], y, xs[1], y);
      canvas_.ink(kFaint);
      stroke(kSeamLine);
    }
    canvas_.ink(kInk);
    path(zone_.region);
    stroke(kOutlineLine);
    if (many)
      for (const double x : xs)
        for (const double y : ys) {
          line(x - kMarkArm, y, x + kMarkArm, y);
          line(x, y - kMarkArm, x, y + kMarkArm);
        }
    if (many) stroke(kMarkLine);
    cairo_restore(c);
    if (!many) return;
    for (int i = 0; i < 2; ++i)
      for (int j = 0; j < 2; ++j) {
        // Inside of the cross, so that it is not cut off.
        const Text text(canvas_, {{letters(column + i) + std::to_string(row + j + 1), false, kSoft}}, 60);
        const double x = (kTemplateMargin + kOverlap / 2 + (i ? layout_.step_x() : 0)) * kMm;
        const double y = (kTemplateMargin + kHeader + kOverlap / 2 + (j ? layout_.step_y() : 0)) * kMm;
        text.draw(canvas_, i ? x - text.width() - 3 : x + 3, j ? y - text.height() - 2 : y + 2);
      }
  }

  void footer() const {
    const double x = kTemplateMargin * kMm, y = layout_.page.height - (kTemplateMargin + kFooter - 5) * kMm;
    const auto rule = [&](double at, double long_pt, int ticks) {
      line(x, at, x + long_pt, at);
      stroke(kRuleLine);
      for (int i = 0; i <= ticks; ++i) line(x + long_pt * i / ticks, at, x + long_pt * i / ticks, at - 2.5 * kMm);
      stroke(kSeamLine + 0.2);
    };
    const Tongue& tongue = canvas_.tongue();
    canvas_.ink(kInk);
    rule(y, 100 * kMm, 10);
    rule(y + 8 * kMm, 4 * 72, 4);
    const Text text(canvas_,
                    {{tongue.fill("Measure this before cutting:") + " ", true, kInk},
                     {tongue.fill("the upper line is 100 mm, the lower 4 in. If not, print again at 100 %, not fitted "
                                  "to the page."),
                      false, kInk}},
                    (layout_.width - 107) * kMm);
    text.draw(canvas_, x + 107 * kMm, y - 3.5 * kMm);
  }

  const ZoneTemplate& zone_;
  Layout layout_;
  shape::Box box_, face_;
  Canvas canvas_;
};

}  // namespace

Result<TemplatePages> template_pdf(const ZoneTemplate& zone, Paper paper, Instant made_at, const Tongue& tongue) {
  const shape::Box box = shape::bounds(zone.region);
  if (zone.region.outlines.empty() || !std::isfinite(box.width() + box.height() + box.left + box.bottom) ||
      !(box.width() > 0 && box.height() > 0))
    return tl::unexpected(Problem{"", 0, 0, "zone '" + zone.zone + "' has no outline to print",
                                  "a flat zone on one face", "draw it on a face of the part"});
  const Layout upright = layout_of(box, paper, false), lying = layout_of(box, paper, true);
  const Layout& layout = lying.sheets() < upright.sheets() ? lying : upright;
  if (layout.sheets() > kMostSheets)
    return tl::unexpected(Problem{
        "", 0, 0, "the template of zone '" + zone.zone + "' would take " + number(layout.sheets(), 0) + " sheets",
        "at most " + std::to_string(kMostSheets) + " sheets",
        "draw it on the piece itself: tackcloth arc says where the trammel is set"});
  auto pdf = Drawer(zone, layout, made_at, tongue).draw();
  if (!pdf) return tl::unexpected(pdf.error());
  return TemplatePages{std::move(*pdf),
                       static_cast<int>(layout.sheets()),
                       static_cast<int>(layout.rows),
                       static_cast<int>(layout.columns),
                       layout.landscape,
                       box.width(),
                       box.height()};
}

}  // namespace tackcloth::sheet
