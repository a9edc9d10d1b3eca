#include <algorithm>
#include <future>

#include "sheet/hand_over.h"
#include "sheet/parts.h"
#include "sheet/picture_on_page.h"

namespace tackcloth::sheet {
namespace {

constexpr double kAlbumMargin = 40, kGap = 10;

}  // namespace

Result<std::string> portfolio_pdf(const Portfolio& portfolio, Paper paper, Instant made_at, const Tongue& tongue) {
  if (!portfolio.before || !portfolio.after || portfolio.before->width <= 0 || portfolio.after->width <= 0)
    return tl::unexpected(Problem{"", 0, 0, "a photo for the portfolio is missing", "one before and one after the work",
                                  "add [[piece.photo]] with the ids before and after"});
  const Size size = size_of(paper);
  Canvas canvas(size, tongue.fill("{piece}, before and after", {portfolio.piece}), portfolio.shop, made_at, tongue);
  const double width = size.width - 2 * kAlbumMargin;
  std::string done;
  for (const std::string& line : portfolio.work) done += (done.empty() ? "" : ". ") + line;
  const Text title(canvas, {{portfolio.piece, true, kInk}}, width, 2, 20);
  const Text work(canvas, {{done.empty() ? "" : done + ".", false, kInk}}, width, 4);
  const Text shop(canvas, {{portfolio.shop, false, kSoft}}, width, 1);
  const double words = kBody + 6;
  const double foot = work.height() + shop.height() + 2 * kGap;
  const double room = size.height - 2 * kAlbumMargin - title.height() - kGap - foot;
  const double each = (room - kGap) / 2 - words;
  double y = kAlbumMargin;
  title.draw(canvas, kAlbumMargin, y);
  y += title.height() + kGap;
  // Making a photo small is most of the work of this page: the two at the same time.
  auto other = std::async(std::launch::async, [&] { return picture_for(canvas, *portfolio.after, width, each); });
  const PagePicture before = picture_for(canvas, *portfolio.before, width, each), after = other.get();
  for (const auto& [label, picture] : {std::pair("Before", &before), std::pair("After", &after)}) {
    Text(canvas, {{tongue.fill(label), true, kInk}}, width, 1).draw(canvas, kAlbumMargin, y);
    draw_picture(canvas, *picture, kAlbumMargin, y + words, width, each);
    y += words + each + kGap;
  }
  work.draw(canvas, kAlbumMargin, y);
  shop.draw(canvas, kAlbumMargin, y + work.height() + kGap);
  canvas.end_page();
  return canvas.finish();
}

}  // namespace tackcloth::sheet
