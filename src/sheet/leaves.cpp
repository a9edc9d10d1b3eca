#include "sheet/leaves.h"

#include <algorithm>

#include "sheet/parts.h"

namespace tackcloth::sheet {
namespace {
constexpr double kFoot = 20;
}

Size half_of(Paper paper) {
  if (paper == Paper::letter) return {5.5 * 72, 8.5 * 72};
  return {148 / 25.4 * 72, 210 / 25.4 * 72};  // ISO 216 A5
}

Leaves::Leaves(Size size, double margin, const std::string& title, const std::string& author, Instant made_at,
               const Tongue& tongue)
    : size_(size), margin_(margin), canvas_(size, title, author, made_at, tongue) {}

double Leaves::body() const { return size_.height - 2 * margin_ - kFoot; }

Result<std::string> Leaves::finish(const std::vector<Block>& blocks, const std::string& foot, std::size_t most) {
  const auto pages = flow(blocks, std::vector<double>(most, body()));
  if (!pages)
    return tl::unexpected(Problem{"", 0, 0, "this does not fit on " + std::to_string(most) + " pages", "shorter texts",
                                  "shorten names, addresses and lists"});
  for (std::size_t i = 0; i < pages->size(); ++i) {
    for (const Placed& placed : (*pages)[i]) placed.block->draw(margin_, margin_ + placed.y);
    const double y = size_.height - margin_ - kBody - 2;
    const std::string of =
        pages->size() > 1
            ? canvas_.tongue().fill("page {n} of {n2}", {std::to_string(i + 1), std::to_string(pages->size())})
            : std::string();
    const Text page(canvas_, {{of, false, kSoft}}, 90, 1);
    Text(canvas_, {{foot, false, kSoft}}, width() - page.width() - 10, 1).draw(canvas_, margin_, y);
    page.draw(canvas_, size_.width - margin_ - page.width(), y);
    canvas_.end_page();
  }
  return canvas_.finish();
}

Block amount_row(const Canvas& canvas, const std::string& what, const std::string& amount, double width, bool sum) {
  constexpr double kAmount = 130;
  const Text left(canvas, {{what, sum, kInk}}, width - kAmount - 8, 3);
  const Text right(canvas, {{amount, sum, kInk}}, kAmount, 1);
  const double height = std::max(left.height(), right.height()) + 6;
  return {height, [=, &canvas](double x, double y) {
            canvas.ink(kInk);
            canvas.rule(x, y, width, sum ? 1.0 : 0.3);
            left.draw(canvas, x, y + 3);
            right.draw(canvas, x + width - right.width(), y + 3);
          }};
}

Block line_to_fill_in(const Canvas& canvas, const std::string& label, double width) {
  const Text text(canvas, {{label + ":", false, kSoft}}, width * 0.65, 1);
  return {text.height() + 8, [=, &canvas](double x, double y) {
            text.draw(canvas, x, y + 6);
            canvas.ink(kInk);
            canvas.rule(x + text.width() + 6, y + 6 + text.height(), width - text.width() - 6, 0.6);
          }};
}

std::vector<Block> bullets(const Canvas& canvas, const std::vector<std::string>& lines, double width) {
  std::vector<Block> blocks;
  for (const std::string& line : lines) blocks.push_back(paragraph(canvas, {{"• " + line, false, kInk}}, width, 5));
  return blocks;
}

}  // namespace tackcloth::sheet
