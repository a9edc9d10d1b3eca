#include <algorithm>

#include "sheet/canvas.h"
#include "sheet/cut_region.h"
#include "sheet/cut_sheet.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kMm = 72 / 25.4;  // points
constexpr double kCutMargin = 12 * kMm, kRuleRoom = 34;
// Line widths, points.
constexpr double kRollLine = 0.8, kCutLine = 1.1, kScaleLine = 0.9;
constexpr Ink kPaleGround{0.93, 0.92, 0.90};
// Scales of drawings: ISO 5455 and the steps between that shops use.
constexpr double kScales[] = {1,  2,  2.5, 4,  5,   8,   10,  12,  15,  20,  25,
                              30, 40, 50,  75, 100, 150, 200, 300, 400, 500, 1000};
constexpr double kLeastDrawing = 120 * kMm;  // less room than this, and the drawing goes on a page of its own

constexpr double kNameRoom = 18, kBelowGround = 10;  // above each ground its name; after it, before the next

double scale_for(const CutDrawing& drawing, double width, double height) {
  double widest = 0, tallest = 0;
  for (const CutGround& ground : drawing.grounds) {
    if (!(ground.width > 0) || !(ground.height > 0)) return 0;
    widest = std::max(widest, ground.width);
    tallest = std::max(tallest, ground.height);
  }
  if (!(widest > 0)) return 0;
  for (const double scale : kScales)
    if (widest / scale * kMm <= width && tallest / scale * kMm + kNameRoom <= height) return scale;
  return 0;
}
void draw_scale_rule(const Canvas& canvas, const CutDrawing& drawing, double scale, double x, double y) {
  const bool us = drawing.system == units::System::us;
  // 1, 2 or 5 by tens, about 40 mm long on paper.
  double mm = us ? 25.4 : 10;
  for (const double step : {2.0, 2.5, 2.0, 2.0, 2.5, 2.0, 2.0, 2.5, 2.0})
    if (mm * step / scale <= 60) mm *= step;
  canvas.ink(kInk);
  cairo_t* c = canvas.cairo();
  cairo_set_line_width(c, kScaleLine);
  cairo_move_to(c, x, y);
  cairo_line_to(c, x + mm / scale * kMm, y);
  cairo_stroke(c);
  const std::string says = us ? number(mm / 25.4, 1) + " in" : number(mm / 10, 1) + " cm";
  Text(canvas,
       {{canvas.tongue().fill("Scale 1 : {n}. This rule is {n2} of the roll.",
                              {canvas.tongue().number(number(scale, 1)), canvas.tongue().number(says)}),
         false, kSoft}},
       340)
      .draw(canvas, x, y + 3);
}

// The path of a region, or of a rectangle where there is none; y runs up from the foot of the ground.
void path(cairo_t* c, const shape::Region& region, double k, double x, double foot) {
  for (const shape::Outline& outline : region.outlines) {
    bool first = true;
    for (const shape::Point& p : shape::flatten(outline, 0.05)) {
      if (first)
        cairo_move_to(c, x + p.x * k, foot - p.y * k);
      else
        cairo_line_to(c, x + p.x * k, foot - p.y * k);
      first = false;
    }
    cairo_close_path(c);
  }
}

// `number` counts on through all grounds.
void draw_ground(const Canvas& canvas, const CutGround& ground, double scale, double x, double y, int& number) {
  const double k = kMm / scale, foot = y + ground.height * k;
  cairo_t* c = canvas.cairo();
  for (const CutPart& part : ground.parts) {
    cairo_set_source_rgb(c, kPaleGround.red, kPaleGround.green, kPaleGround.blue);
    path(c, region_of(part), k, x, foot);
    cairo_fill(c);
  }
  canvas.ink(kSoft);
  cairo_set_line_width(c, kRollLine);
  path(c, region_of(ground), k, x, foot);
  cairo_stroke(c);
  canvas.ink(kInk);
  for (const CutPart& part : ground.parts) {
    ++number;
    cairo_set_line_width(c, kCutLine);
    path(c, region_of(part), k, x, foot);
    cairo_stroke(c);
    for (const std::string& label : {std::to_string(number) + " " + part.label, std::to_string(number)}) {
      const Text text(canvas, {{label, false, kInk}}, 400, 1);
      if (text.width() + 4 > part.width * k || text.height() + 2 > part.height * k) continue;
      text.draw(canvas, x + (part.x + part.width / 2) * k - text.width() / 2,
                foot - (part.y + part.height / 2) * k - text.height() / 2);
      break;
    }
  }
}

}  // namespace

Result<CutSheet> cut_pdf(const CutDrawing& drawing, Paper paper, Instant made_at, const Tongue& tongue) {
  const Size page = size_of(paper);
  const double width = page.width - 2 * kCutMargin, bottom = page.height - kCutMargin;
  if (scale_for(drawing, width, bottom - 2 * kCutMargin - kRuleRoom) == 0)
    return tl::unexpected(Problem{"", 0, 0, "the layout does not fit on a page in any scale",
                                  "a roll up to 180 m wide and long", "lay the parts out in several goes"});
  const std::string title = tongue.say(drawing.title);
  Canvas canvas(page, title, "", made_at, tongue);
  CutSheet sheet;
  sheet.pages = 1;
  double y = kCutMargin;
  const auto next_page = [&] {
    canvas.end_page();
    ++sheet.pages;
    y = kCutMargin;
  };
  const auto paragraph = [&](const std::string& words, bool bold, double size = kBody) {
    const Text text(canvas, {{words, bold, kInk}}, width, 0, size);
    if (y + text.height() > bottom) next_page();
    text.draw(canvas, kCutMargin, y);
    y += text.height() + 3;
  };
  paragraph(title, true, 16);
  bool first = true;
  for (const std::string& words : drawing.says) {
    paragraph(tongue.say(words), first);
    first = false;
  }
  y += 4;
  if (bottom - y < kLeastDrawing + kRuleRoom) next_page();
  sheet.scale = scale_for(drawing, width, bottom - y - kRuleRoom);
  if (sheet.scale == 0) {
    next_page();
    sheet.scale = scale_for(drawing, width, bottom - y - kRuleRoom);
  }
  int number = 0;
  for (const CutGround& ground : drawing.grounds) {
    const double room = ground.height / sheet.scale * kMm + (ground.name.empty() ? 0 : kNameRoom);
    if (y + room > bottom) next_page();
    if (!ground.name.empty()) {
      Text(canvas, {{tongue.say(ground.name), true, kInk}}, width, 1).draw(canvas, kCutMargin, y);
      y += kNameRoom;
    }
    draw_ground(canvas, ground, sheet.scale, kCutMargin, y, number);
    y += ground.height / sheet.scale * kMm + kBelowGround;
  }
  if (y + kRuleRoom > bottom) next_page();
  draw_scale_rule(canvas, drawing, sheet.scale, kCutMargin, y);
  y += kRuleRoom - 8;
  for (const std::string& words : drawing.list) {
    const std::size_t sentence = words.find("  ");  // behind the part's number
    const std::size_t from = sentence == std::string::npos ? 0 : sentence + 2;
    paragraph(words.substr(0, from) + tongue.say(words.substr(from)), false);
  }
  canvas.end_page();
  auto bytes = canvas.finish();
  if (!bytes) return tl::unexpected(bytes.error());
  sheet.pdf = std::move(*bytes);
  return sheet;
}

}  // namespace tackcloth::sheet
