#include <algorithm>

#include "sheet/canvas.h"
#include "sheet/cut_sheet.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kMm = 72 / 25.4;  // points
constexpr double kMargin = 12 * kMm, kRuleRoom = 34;
// Line widths, points.
constexpr double kRollLine = 0.8, kCutLine = 1.1, kScaleLine = 0.9;
constexpr Ink kPaleGround{0.93, 0.92, 0.90};
// Scales of drawings: ISO 5455 and the steps between that shops use.
constexpr double kScales[] = {1,  2,  2.5, 4,  5,   8,   10,  12,  15,  20,  25,
                              30, 40, 50,  75, 100, 150, 200, 300, 400, 500, 1000};
constexpr double kLeastDrawing = 120 * kMm;  // less room than this, and the drawing goes on a page of its own

double scale_for(const CutDrawing& drawing, double width, double height) {
  for (const double scale : kScales)
    if (drawing.width / scale * kMm <= width && drawing.height / scale * kMm <= height) return scale;
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
  Text(canvas, {{"Scale 1 : " + number(scale, 1) + ". This rule is " + says + " of the roll.", false, kSoft}}, 340)
      .draw(canvas, x, y + 3);
}

void draw_roll(const Canvas& canvas, const CutDrawing& drawing, double scale, double x, double y) {
  const double k = kMm / scale;
  for (const CutPart& part : drawing.parts)
    canvas.fill(x + part.x * k, y + part.y * k, part.width * k, part.height * k, kPaleGround);
  canvas.ink(kSoft);
  canvas.frame(x, y, drawing.width * k, drawing.height * k, kRollLine);
  canvas.ink(kInk);
  for (std::size_t i = 0; i < drawing.parts.size(); ++i) {
    const CutPart& part = drawing.parts[i];
    canvas.frame(x + part.x * k, y + part.y * k, part.width * k, part.height * k, kCutLine);
    for (const std::string& label : {std::to_string(i + 1) + " " + part.label, std::to_string(i + 1)}) {
      const Text text(canvas, {{label, false, kInk}}, 400, 1);
      if (text.width() + 4 > part.width * k || text.height() + 2 > part.height * k) continue;
      text.draw(canvas, x + (part.x + part.width / 2) * k - text.width() / 2,
                y + (part.y + part.height / 2) * k - text.height() / 2);
      break;
    }
  }
}

}  // namespace

Result<CutSheet> cut_pdf(const CutDrawing& drawing, Paper paper, Instant made_at) {
  const Size page = size_of(paper);
  const double width = page.width - 2 * kMargin, bottom = page.height - kMargin;
  if (!(drawing.width > 0) || !(drawing.height > 0) || scale_for(drawing, width, bottom - 2 * kMargin - kRuleRoom) == 0)
    return tl::unexpected(Problem{"", 0, 0, "the layout does not fit on a page in any scale",
                                  "a roll up to 180 m wide and long", "lay the parts out in several goes"});
  Canvas canvas(page, drawing.title, "", made_at);
  CutSheet sheet;
  sheet.pages = 1;
  double y = kMargin;
  const auto next_page = [&] {
    canvas.end_page();
    ++sheet.pages;
    y = kMargin;
  };
  const auto paragraph = [&](const std::string& words, bool bold, double size = kBody) {
    const Text text(canvas, {{words, bold, kInk}}, width, 0, size);
    if (y + text.height() > bottom) next_page();
    text.draw(canvas, kMargin, y);
    y += text.height() + 3;
  };
  paragraph(drawing.title, true, 16);
  bool first = true;
  for (const std::string& words : drawing.says) {
    paragraph(words, first);
    first = false;
  }
  y += 4;
  if (bottom - y < kLeastDrawing + kRuleRoom) next_page();
  sheet.scale = scale_for(drawing, width, bottom - y - kRuleRoom);
  if (sheet.scale == 0) {
    next_page();
    sheet.scale = scale_for(drawing, width, bottom - y - kRuleRoom);
  }
  draw_roll(canvas, drawing, sheet.scale, kMargin, y);
  y += drawing.height / sheet.scale * kMm + 8;
  draw_scale_rule(canvas, drawing, sheet.scale, kMargin, y);
  y += kRuleRoom - 8;
  for (const std::string& words : drawing.list) paragraph(words, false);
  canvas.end_page();
  auto bytes = canvas.finish();
  if (!bytes) return tl::unexpected(bytes.error());
  sheet.pdf = std::move(*bytes);
  return sheet;
}

}  // namespace tackcloth::sheet
