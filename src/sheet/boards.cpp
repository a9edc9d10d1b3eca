#include "sheet/boards.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "color/css.h"
#include "sheet/canvas.h"
#include "sheet/picture_on_page.h"
#include "sheet/words.h"
#include "units/money.h"

namespace tackcloth::sheet {

namespace {

constexpr double kBoardsMargin = 30, kGap = 14, kPixels = 2400, kChip = 15, kLeastWord = 18;

struct Grid {
  int columns = 1, rows = 1;
  double width = 0, height = 0;  // of a card
};

// The columns that make the pictures largest.
Grid grid_for(std::size_t count, double width, double height, double words) {
  Grid best;
  double most = -1;
  for (int columns = 1; columns <= static_cast<int>(count); ++columns) {
    const int rows = static_cast<int>((count + columns - 1) / columns);
    const double w = (width - kGap * (columns - 1)) / columns, h = (height - kGap * (rows - 1)) / rows;
    const double picture = std::min(w, (h - words) * 4 / 3);
    if (picture > most) {
      most = picture;
      best = {columns, rows, w, h};
    }
  }
  return best;
}

std::string worth(const look::Board& b, const std::string& currency, const Tongue& tongue) {
  return tongue.fill("{n} days ({when}), {n2} bench hours", {number(std::ceil(b.days), 0), short_day(b.finish, tongue),
                                                             tongue.number(number(b.bench_hours, 1))}) +
         "\n" + tongue.number(to_text(b.price.total)) + " " + currency;
}

void draw_card(const Canvas& canvas, const Card& card, const std::string& currency, int letter, double x, double y,
               const Grid& grid, double words, double size) {
  const look::Board& b = card.board;
  const Tongue& tongue = canvas.tongue();
  const double picture = grid.height - words;
  if (card.picture.width > 0)
    draw_picture(canvas, picture_for(canvas, card.picture, grid.width, picture), x, y, grid.width, picture);
  double at = y + picture + 5;
  const Text name(
      canvas,
      {{std::string(1, static_cast<char>('A' + letter)) + "  " + (b.id.empty() ? tongue.say(b.name) : clean(b.name)),
        true}},
      grid.width, 1, size + 1);
  name.draw(canvas, x, at);
  at += name.height() + 2;
  std::vector<Span> spans{{worth(b, currency, tongue)}};
  if (b.late)
    spans.push_back({", " + (b.due ? tongue.fill("after the promised {when}", {short_day(*b.due, tongue)})
                                   : tongue.fill("after the promised day")),
                     true});
  const Text facts(canvas, spans, grid.width, 0, size);
  facts.draw(canvas, x, at);
  at += facts.height() + 4;
  double chip = x;
  for (const look::ZoneColor& zone : b.zones) {
    if (!zone.lab || chip + kChip > x + grid.width) continue;
    const color::Srgb8 c = color::srgb8_from_lab(*zone.lab);
    canvas.fill(chip, at, kChip, kChip, {c.r / 255.0, c.g / 255.0, c.b / 255.0});
    canvas.frame(chip, at, kChip, kChip, 0.5);
    const double room = x + grid.width - chip - kChip - 3;
    if (room < kLeastWord) break;  // a name cut to a letter tells nothing
    const Text word(canvas, {{tongue.parts(zone.zone), false, kSoft}}, room, 1, size - 1);
    word.draw(canvas, chip + kChip + 3, at + 1);
    chip += kChip + 3 + word.width() + 7;
  }
  at += kChip + 3;
  if (!b.must_not.empty()) {
    const Text forbidden(
        canvas, {{tongue.fill("Must not be done so: {why}", {tongue.say(clean(b.must_not.front().reason))}), true}},
        grid.width, 2, size);
    forbidden.draw(canvas, x, at);
  } else if (!b.pairs.empty()) {
    // The pair that differs least says whether the line between two zones will be seen.
    const auto least =
        std::min_element(b.pairs.begin(), b.pairs.end(), [](const auto& p, const auto& q) { return p.de00 < q.de00; });
    const Text pair(canvas,
                    {{tongue.fill("{zone}, {other}: apart by {n} (CIEDE2000)",
                                  {tongue.parts(clean(least->zone)), tongue.parts(clean(least->other)),
                                   tongue.number(number(least->de00, 1))}),
                      false, kSoft}},
                    grid.width, 1, size - 1);
    pair.draw(canvas, x, at);
  }
}

}  // namespace

Result<std::string> boards_sheet(const std::vector<Card>& cards, const BoardsText& text, Paper paper, Sheet wanted,
                                 Instant made_at, const Tongue& tongue) {
  if (cards.empty() || cards.size() > job::kMostLooks)
    return tl::unexpected(Problem{"", 0, 0, "there are " + std::to_string(cards.size()) + " looks",
                                  "1 to " + std::to_string(job::kMostLooks), "choose some of them"});
  Size size = size_of(paper);
  std::swap(size.width, size.height);  // lying
  Canvas canvas = wanted == Sheet::pdf
                      ? Canvas(size, tongue.fill("Looks: {piece}", {text.piece}), text.shop, made_at, tongue)
                      : Canvas(size, kPixels / size.width, tongue);
  const double inner = size.width - 2 * kBoardsMargin;
  double y = kBoardsMargin;
  const Text title(canvas, {{tongue.fill("Looks for: {piece}", {clean(text.piece)}), true}}, inner, 1, 18);
  title.draw(canvas, kBoardsMargin, y);
  y += title.height() + 2;
  std::string line = text.owner.empty() ? "" : tongue.fill("For {owner}.", {clean(text.owner)}) + " ";
  const Text under(canvas, {{line + tongue.say(clean(text.about_pictures)), false, kSoft}}, inner, 4, kBody);
  under.draw(canvas, kBoardsMargin, y);
  y += under.height() + 8;
  const double body = cards.size() > 6 ? 8.5 : kBody;
  const double words = body * 7.4 + kChip;
  const Grid grid = grid_for(cards.size(), inner, size.height - kBoardsMargin - y, words);
  for (std::size_t k = 0; k < cards.size(); ++k) {
    const int column = static_cast<int>(k) % grid.columns, row = static_cast<int>(k) / grid.columns;
    draw_card(canvas, cards[k], text.currency, static_cast<int>(k), kBoardsMargin + column * (grid.width + kGap),
              y + row * (grid.height + kGap), grid, words, body);
  }
  canvas.end_page();
  return canvas.finish();
}

}  // namespace tackcloth::sheet
