#include "sheet/labels.h"

#include <qrencode.h>

#include <memory>

#include "sheet/canvas.h"

namespace tackcloth::sheet {

namespace {

constexpr double kMm = 72 / 25.4;  // points
constexpr double kLabelMargin = 12 * kMm, kHead = 14 * kMm, kHeight = 24 * kMm, kPad = 1.5 * kMm;
constexpr int kColumns = 3;
constexpr std::size_t kMostLabels = 400;
constexpr int kQuiet = 4;  // modules left white on every side (ISO/IEC 18004, 5.3.8)

struct CodeEnd {
  void operator()(QRcode* code) const { QRcode_free(code); }
};
using Code = std::unique_ptr<QRcode, CodeEnd>;

// Level M: a label at the bench gets a stain, and still reads.
Result<Code> code_of(const std::string& text) {
  Code code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M));
  if (!code || text.empty())
    return tl::unexpected(Problem{"", 0, 0, "the code for '" + text.substr(0, 60) + "' cannot be made",
                                  "an address of up to 300 letters", "shorten the address"});
  return code;
}

// One path for all of it, or hairlines show between the modules.
void draw_code(const Canvas& canvas, const QRcode& code, double x, double y, double size) {
  const double module = size / (code.width + 2 * kQuiet);
  cairo_t* cr = canvas.cairo();
  canvas.ink({0, 0, 0});
  for (int row = 0; row < code.width; ++row)
    for (int column = 0; column < code.width; ++column)
      if ((code.data[row * code.width + column] & 1) != 0)
        cairo_rectangle(cr, x + (column + kQuiet) * module, y + (row + kQuiet) * module, module, module);
  cairo_fill(cr);
}

void draw_label(const Canvas& canvas, const Label& label, const QRcode& code, double x, double y, double width) {
  canvas.frame(x, y, width, kHeight, 0.3);
  const double side = kHeight - 2 * kPad;
  draw_code(canvas, code, x + kPad, y + kPad, side);
  const double left = x + kPad + side + kPad, room = width - side - 3 * kPad;
  const Text name(canvas, {{label.name, true}}, room, 1, 20);
  name.draw(canvas, left, y + kPad);
  double down = y + kPad + name.height();
  for (const std::string* words : {&label.end, &label.about}) {
    if (words->empty()) continue;
    const double left_over = y + kHeight - kPad - down;
    Text text(canvas, {{*words, words == &label.end}}, room, 2);
    if (text.height() > left_over) text = Text(canvas, {{*words, words == &label.end}}, room, 1);
    if (text.height() > left_over) break;
    text.draw(canvas, left, down);
    down += text.height();
  }
}

}  // namespace

Result<std::string> labels_pdf(const LabelSheet& sheet, Paper paper, Instant made_at, const Tongue& tongue) {
  if (sheet.labels.empty() || sheet.labels.size() > kMostLabels)
    return tl::unexpected(Problem{"", 0, 0, sheet.labels.empty() ? "there is nothing to label" : "too many labels",
                                  "1 to 400 labels", "ask for fewer or more spare ones"});
  const Size size = size_of(paper);
  Canvas canvas(size, tongue.fill("Labels: {piece}", {sheet.piece}), sheet.shop, made_at, tongue);
  const double width = (size.width - 2 * kLabelMargin) / kColumns;
  const int rows = static_cast<int>((size.height - 2 * kLabelMargin - kHead) / kHeight);
  const std::size_t a_page = static_cast<std::size_t>(rows * kColumns);
  for (std::size_t k = 0; k < sheet.labels.size(); ++k) {
    const std::size_t place = k % a_page;
    if (place == 0) {
      if (k > 0) canvas.end_page();
      const Text head(canvas,
                      {{tongue.fill("Bags and cables: {piece}.", {sheet.piece}), true},
                       {" " + tongue.fill("Cut along the lines; one for each bag, one for each end of a cable.")}},
                      size.width - 2 * kLabelMargin, 2);
      canvas.ink(kInk);
      head.draw(canvas, kLabelMargin, kLabelMargin);
    }
    const auto code = code_of(sheet.labels[k].link);
    if (!code) return tl::unexpected(code.error());
    const auto column = static_cast<double>(place % kColumns), row = static_cast<double>(place / kColumns);
    canvas.ink(kSoft);
    draw_label(canvas, sheet.labels[k], **code, kLabelMargin + column * width, kLabelMargin + kHead + row * kHeight,
               width);
  }
  canvas.end_page();
  return canvas.finish();
}

}  // namespace tackcloth::sheet
