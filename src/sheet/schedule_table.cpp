// The schedule of a piece as a table, grouped by day.
#include <algorithm>

#include "sheet/parts.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kTick = 22, kTime = 76, kHand = 126, kReady = 94, kGutter = 8;
constexpr Ink kDayGround{0.92, 0.91, 0.89};

bool with_hand(Room room) { return room == Room::roomy || room == Room::close; }

struct Columns {
  double time, what, hand, ready, what_width;
  Columns(double width, Room room)
      : time(kTick),
        what(kTick + kTime),
        hand(width - kReady - (with_hand(room) ? kHand : 0)),
        ready(width - kReady),
        what_width(hand - what - kGutter) {}
};

// Up to the next five minutes: a film's drying is not known to the minute, and nothing is called ready early.
Instant five_up(Instant t) {
  return Instant(std::chrono::ceil<std::chrono::duration<long, std::ratio<300>>>(t.time_since_epoch()));
}

// Short, but never in doubt about the day: "16:40", "Thu 16:40", "17 Mar 16:40".
std::string moment(Instant t, Instant day, const Tongue& tongue) {
  const auto days = (day_of(t) - day_of(day)).count();
  if (days == 0) return clock(t);
  return (days > 0 && days < 6 ? weekday(t, tongue) : day_month(t, tongue)) + " " + clock(t);
}

std::string ready_words(const Row& row, Room room, const Tongue& tongue) {
  const auto at = [&](Instant t) { return moment(t, row.start, tongue); };
  std::string out = tongue.fill("at once");
  if (row.rests) {
    out = with_hand(room) ? tongue.fill("likely {when}", {at(five_up(row.ready_p50))}) + "\n" : "";
    out += tongue.fill("safe {when}", {at(five_up(row.ready_p90))});
  }
  if (row.closes) out += "\n" + tongue.fill("by {when}", {at(*row.closes)});
  return out;
}

std::string time_words(const Row& row, const Tongue& tongue) {
  if (row.end <= row.start) return clock(row.start);
  return clock(row.start) + "–" + (day_of(row.end) == day_of(row.start) ? "" : "\n") +
         moment(row.end, row.start, tongue);
}

std::string turns_words(const Row& row, const Tongue& tongue) {
  std::string out;
  for (std::size_t i = 0; i < row.turns.size(); ++i) {
    if (i == 3 && row.turns.size() > 4)
      return tongue.fill("In turns: {list}, and {n} more", {out, std::to_string(row.turns.size() - i)});
    out += (out.empty() ? "" : ", ") + moment(row.turns[i].start, row.start, tongue) + "–" + clock(row.turns[i].end);
  }
  return tongue.fill("In turns: {list}", {out});
}

Block row_block(const Canvas& canvas, const Row& row, double width, Room room) {
  const Columns at(width, room);
  const Tongue& tongue = canvas.tongue();
  const std::string part = room == Room::roomy ? "\n" : "; ";
  std::vector<Span> what{{row.what, true, kInk}};
  if (!row.with.empty()) what.push_back({part + row.with, false, kInk});
  if (!row.turns.empty()) what.push_back({part + turns_words(row, tongue), false, kSoft});
  const int lines = room == Room::roomy ? 4 : room == Room::tightest ? 1 : 2;
  const Text step(canvas, what, at.what_width, lines);
  std::vector<Span> time{{time_words(row, tongue), false, kInk}};
  if (with_hand(room)) time.push_back({"\n" + row.ids, false, kSoft});
  const Text when(canvas, time, kTime - kGutter, 2);
  const Text hand(canvas, {{with_hand(room) ? row.by_hand : "", false, kInk}}, kHand - kGutter, lines);
  const Text ready(canvas, {{ready_words(row, room, tongue), false, kInk}}, kReady);
  const double pad = with_hand(room) ? 3 : room == Room::tight ? 2 : 1;
  const double height = std::max({step.height(), when.height(), hand.height(), ready.height(), 13.0}) + 2 * pad;
  return {height, [=, &canvas](double x, double y) {
            canvas.ink(kInk);
            canvas.frame(x + 2, y + pad, 11, 11, 0.9);
            when.draw(canvas, x + at.time, y + pad - 1);
            step.draw(canvas, x + at.what, y + pad - 1);
            hand.draw(canvas, x + at.hand, y + pad - 1);
            ready.draw(canvas, x + at.ready, y + pad - 1);
            canvas.ink({0.75, 0.73, 0.70});
            canvas.rule(x, y + height, width, 0.4);
            canvas.ink(kInk);
          }};
}

Block day_block(const Canvas& canvas, Instant day, double width) {
  const Text text(canvas, {{day_words(day, canvas.tongue()), true, kInk}}, width - 8, 1);
  const double height = text.height() + 5;
  return {height,
          [=, &canvas](double x, double y) {
            canvas.fill(x, y + 1, width, height - 1, kDayGround);
            text.draw(canvas, x + 4, y + 3);
          },
          true};
}

Block column_heads(const Canvas& canvas, double width, Room room) {
  const Columns at(width, room);
  const auto head = [&](const char* words, double column) {
    return Text(canvas, {{*words ? canvas.tongue().fill(words) : "", true, kSoft}}, column, 1);
  };
  const Text time = head("Time", kTime), what = head("Step, product, method, film", at.what_width),
             hand = head(with_hand(room) ? "By hand, it is ready" : "", kHand), ready = head("Ready", kReady);
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

Block hand_tests(const Canvas& canvas, const std::vector<Row>& rows, double width, int most_lines) {
  std::vector<std::string> seen;
  std::vector<Span> spans;
  for (const Row& row : rows) {
    if (row.done || row.by_hand.empty()) continue;
    std::string text = (row.product.empty() ? row.what : row.product) + ": " + row.by_hand;
    if (text.ends_with('.')) text.pop_back();
    if (std::find(seen.begin(), seen.end(), text) != seen.end()) continue;
    seen.push_back(text);
    spans.push_back({(spans.empty() ? "" : ". ") + text, false, kInk});
  }
  if (spans.empty()) return gap(0);
  spans.insert(spans.begin(), Span{canvas.tongue().fill("Ready by hand.") + " ", true, kInk});
  return paragraph(canvas, spans, width, most_lines);
}

std::vector<Block> schedule_table(const Canvas& canvas, const std::vector<Row>& rows, double width, Room room,
                                  std::size_t most_rows) {
  const Tongue& tongue = canvas.tongue();
  std::vector<Block> blocks;
  std::size_t done = 0, shown = 0;
  const Row* last_done = nullptr;
  for (const Row& row : rows)
    if (row.done) {
      ++done;
      last_done = &row;
    }
  if (last_done)
    blocks.push_back(paragraph(
        canvas,
        {{"✓ " + tongue.fill(done == 1 ? "Done: {n} row," : "Done: {n} rows, the last", {std::to_string(done)}) + " ",
          true, kInk},
         {short_day(last_done->start, tongue) + ": " + last_done->what, false, kInk}},
        width, 2));
  const std::size_t to_do = rows.size() - done;
  if (to_do == 0) return blocks;
  blocks.push_back(column_heads(canvas, width, room));
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
    blocks.push_back(paragraph(canvas,
                               {{tongue.fill(to_do - shown == 1 ? "{n} row of steps left out, see the app"
                                                                : "{n} rows of steps left out, see the app",
                                             {std::to_string(to_do - shown)}),
                                 true, kInk}},
                               width));
  blocks.push_back(gap(3));
  if (!with_hand(room)) blocks.push_back(hand_tests(canvas, rows, width, room == Room::tightest ? 5 : 8));
  blocks.push_back(paragraph(canvas,
                             {{(with_hand(room) ? tongue.fill("likely: even chance.") + " " : "") +
                                   tongue.fill("safe: nine in ten, go by this one. by: the next coat goes on before "
                                               "then, or scuff first. The hand test decides."),
                               false, kSoft}},
                             width));
  return blocks;
}

}  // namespace tackcloth::sheet
