// The schedule of a piece as a table, grouped by day.
#include <algorithm>

#include "sheet/parts.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kTick = 22, kTime = 76, kHand = 126, kReady = 94, kGutter = 8;
constexpr Ink kDayGround{0.92, 0.91, 0.89};

struct Columns {
  double time, what, hand, ready, what_width;
  explicit Columns(double width)
      : time(kTick),
        what(kTick + kTime),
        hand(width - kReady - kHand),
        ready(width - kReady),
        what_width(hand - what - kGutter) {}
};

// Up to the next five minutes: a film's drying is not known to the minute, and nothing is called ready early.
Instant five_up(Instant t) {
  return Instant(std::chrono::ceil<std::chrono::duration<long, std::ratio<300>>>(t.time_since_epoch()));
}

// Short, but never in doubt about the day: "16:40", "Thu 16:40", "17 Mar 16:40".
std::string moment(Instant t, Instant day) {
  const auto days = (day_of(t) - day_of(day)).count();
  if (days == 0) return clock(t);
  const std::string words = short_day(t);
  return (days > 0 && days < 6 ? words.substr(0, 3) : words.substr(4)) + " " + clock(t);
}

std::string ready_words(const Row& row) {
  std::string out = row.rests ? "likely " + moment(five_up(row.ready_p50), row.start) + "\nsafe " +
                                    moment(five_up(row.ready_p90), row.start)
                              : "at once";
  if (row.closes) out += "\nby " + moment(*row.closes, row.start);
  return out;
}

std::string time_words(const Row& row) {
  if (row.end <= row.start) return clock(row.start);
  return clock(row.start) + "–" + (day_of(row.end) == day_of(row.start) ? "" : "\n") + moment(row.end, row.start);
}

std::string turns_words(const Row& row) {
  std::string out;
  for (std::size_t i = 0; i < row.turns.size(); ++i) {
    if (i == 3 && row.turns.size() > 4) return out + ", and " + std::to_string(row.turns.size() - i) + " more";
    out += (out.empty() ? "In turns: " : ", ") + moment(row.turns[i].start, row.start) + "–" + clock(row.turns[i].end);
  }
  return out;
}

Block row_block(const Canvas& canvas, const Row& row, double width, Room room) {
  const Columns at(width);
  const int hand_lines = room == Room::roomy ? 4 : room == Room::close ? 2 : 1;
  std::vector<Span> what{{row.what, true, kInk}};
  if (!row.with.empty()) what.push_back({(room == Room::roomy ? "\n" : "; ") + row.with, false, kInk});
  if (!row.turns.empty()) what.push_back({(room == Room::roomy ? "\n" : "; ") + turns_words(row), false, kSoft});
  const Text step(canvas, what, at.what_width, room == Room::roomy ? 4 : room == Room::close ? 2 : 1);
  std::vector<Span> time{{time_words(row), false, kInk}};
  if (room != Room::tight) time.push_back({"\n" + row.ids, false, kSoft});
  const Text when(canvas, time, kTime - kGutter, 2);
  const Text hand(canvas, {{row.by_hand, false, kInk}}, kHand - kGutter, hand_lines);
  const std::string ready_text = ready_words(row);
  const Text ready(canvas, {{ready_text, false, kInk}}, kReady);
  const double height = std::max({step.height(), when.height(), hand.height(), ready.height(), 13.0}) + 6;
  return {height, [=, &canvas](double x, double y) {
            canvas.ink(kInk);
            canvas.frame(x + 2, y + 4, 11, 11, 0.9);
            when.draw(canvas, x + at.time, y + 2);
            step.draw(canvas, x + at.what, y + 2);
            hand.draw(canvas, x + at.hand, y + 2);
            ready.draw(canvas, x + at.ready, y + 2);
            canvas.ink({0.75, 0.73, 0.70});
            canvas.rule(x, y + height, width, 0.4);
            canvas.ink(kInk);
          }};
}

Block day_block(const Canvas& canvas, Instant day, double width) {
  const Text text(canvas, {{day_words(day), true, kInk}}, width - 8, 1);
  const double height = text.height() + 5;
  return {height,
          [=, &canvas](double x, double y) {
            canvas.fill(x, y + 1, width, height - 1, kDayGround);
            text.draw(canvas, x + 4, y + 3);
          },
          true};
}

Block column_heads(const Canvas& canvas, double width) {
  const Columns at(width);
  const auto head = [&](const char* words, double column) { return Text(canvas, {{words, true, kSoft}}, column, 1); };
  const Text time = head("Time", kTime), what = head("Step, product, method, film", at.what_width),
             hand = head("By hand, it is ready", kHand), ready = head("Ready", kReady);
  return {time.height() + 3,
          [=, &canvas](double x, double y) {
            time.draw(canvas, x + at.time, y);
            what.draw(canvas, x + at.what, y);
            hand.draw(canvas, x + at.hand, y);
            ready.draw(canvas, x + at.ready, y);
          },
          true};
}

}  // namespace

std::vector<Block> schedule_table(const Canvas& canvas, const std::vector<Row>& rows, double width, Room room,
                                  std::size_t most_rows) {
  std::vector<Block> blocks;
  std::size_t done = 0, shown = 0;
  const Row* last_done = nullptr;
  for (const Row& row : rows)
    if (row.done) {
      ++done;
      last_done = &row;
    }
  if (last_done)
    blocks.push_back(
        paragraph(canvas,
                  {{"✓ Done: " + std::to_string(done) + (done == 1 ? " row, " : " rows, the last "), true, kInk},
                   {short_day(last_done->start) + ": " + last_done->what, false, kInk}},
                  width, 2));
  const std::size_t to_do = rows.size() - done;
  if (to_do == 0) return blocks;
  blocks.push_back(column_heads(canvas, width));
  const Row* before = nullptr;
  for (const Row& row : rows) {
    if (row.done) continue;
    if (shown == most_rows) break;
    if (!before || day_of(before->start) != day_of(row.start)) blocks.push_back(day_block(canvas, row.start, width));
    blocks.push_back(row_block(canvas, row, width, room));
    before = &row;
    ++shown;
  }
  if (shown < to_do)
    blocks.push_back(paragraph(
        canvas,
        {{std::to_string(to_do - shown) + (to_do - shown == 1 ? " row" : " rows") + " of steps left out, see the app",
          true, kInk}},
        width));
  blocks.push_back(gap(3));
  blocks.push_back(paragraph(canvas,
                             {{"likely: even chance. safe: nine in ten, go by this one. by: the next coat goes on "
                               "before then, or scuff first. "
                               "The hand test decides.",
                               false, kSoft}},
                             width));
  return blocks;
}

}  // namespace tackcloth::sheet
