// The job sheet: at most two pages a piece, then shopping and cautions on one page or two.
#include <algorithm>
#include <cmath>

#include "sheet/parts.h"
#include "sheet/shopping_page.h"
#include "sheet/strip.h"
#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr double kJobMargin = 36;  // half an inch: every printer reaches it
constexpr double kJobFoot = 20;

class Sheet {
 public:
  Sheet(const plan::Plan& plan, Paper paper, Instant made_at, const Tongue& tongue)
      : plan_(plan),
        size_(size_of(paper)),
        made_at_(made_at),
        tongue_(tongue),
        canvas_(size_, tongue.fill("Job sheet") + (plan.shop.empty() ? "" : ": " + plan.shop), plan.shop, made_at,
                tongue) {}

  Result<std::string> make() {
    for (const plan::PlannedPiece& piece : plan_.pieces) add_piece(piece);
    add_shopping();
    return canvas_.finish();
  }

 private:
  double width() const { return size_.width - 2 * kJobMargin; }
  double body() const { return size_.height - 2 * kJobMargin - kJobFoot; }

  std::vector<Block> head(const plan::PlannedPiece& piece) const;
  std::vector<Block> tail(const plan::PlannedPiece& piece, bool care) const;
  std::vector<Block> notes(const plan::PlannedPiece& piece) const;
  void add_piece(const plan::PlannedPiece& piece);
  void add_shopping();
  void draw(const Pages& pages, const std::string& name, const std::vector<Block>& again);

  const plan::Plan& plan_;
  Size size_;
  Instant made_at_;
  Tongue tongue_;
  Canvas canvas_;
};

std::vector<Block> Sheet::head(const plan::PlannedPiece& piece) const {
  std::vector<Block> blocks;
  blocks.push_back(paragraph(canvas_, {{piece.name.empty() ? piece.id : piece.name, true, kInk}}, width(), 2, 20));
  const auto day = [&](Instant instant) { return day_words(instant, tongue_); };
  std::string line = piece.owner.empty() ? "" : tongue_.fill("For {owner}.", {piece.owner}) + " ";
  line += (piece.due ? tongue_.fill("Promised {when}.", {day(*piece.due)}) : tongue_.fill("No date promised.")) + " ";
  if (!piece.schedule.empty())
    line += tongue_.fill("Work ends {when}.", {day(piece.finish) + " " + clock(piece.finish)}) + " ";
  const std::string hours = tongue_.number(units::format_hours(piece.bench_hours));
  line += piece.room.empty() ? tongue_.fill("{n} at the bench.", {hours})
                             : tongue_.fill("{n} at the bench, dries in: {room}.", {hours, piece.room});
  blocks.push_back(paragraph(canvas_, {{line, false, kInk}}, width(), 3));
  if (piece.promise_90) {
    std::string odds = tongue_.fill("Safe to promise, nine times in ten: {when}.", {day(*piece.promise_90)});
    if (piece.odds)
      odds = tongue_.fill("Drying alone: the date is kept {n} times in 100. For nine in ten, promise {when}.",
                          {*piece.odds >= 0.995 ? tongue_.fill("over 99")
                                                : std::to_string(static_cast<int>(std::floor(*piece.odds * 100))),
                           day(*piece.promise_90)});
    blocks.push_back(paragraph(canvas_, {{odds, false, kInk}}, width(), 3));
  }
  if (piece.late)
    blocks.push_back(
        paragraph(canvas_, {{tongue_.fill("Late:") + " " + tongue_.say(piece.late_reason), true, kInk}}, width(), 3));
  blocks.push_back(gap(4));
  blocks.push_back(do_now(canvas_, piece, plan_.system, width()));
  blocks.push_back(gap(6));
  blocks.push_back(safety_box(canvas_, safety_of(plan_, piece, tongue_), width(), body() * 0.42));
  if (!piece.schedule.empty()) {
    blocks.push_back(gap(8));
    blocks.push_back({kStripHeight, [this, &piece](double x, double y) { draw_strip(canvas_, piece, x, y, width()); }});
  }
  blocks.push_back(gap(6));
  return blocks;
}

std::vector<Block> Sheet::tail(const plan::PlannedPiece& piece, bool care) const {
  std::vector<Block> blocks;
  std::string all;
  for (const std::string& line : materials_of(piece.schedule, plan_.system, tongue_))
    all += (all.empty() ? "" : "; ") + line;
  if (!all.empty()) {
    blocks.push_back(heading(canvas_, tongue_.fill("Materials for this piece"), width()));
    blocks.push_back(paragraph(canvas_, {{all + ".", false, kInk}}, width(), care ? 8 : 2));
  }
  if (piece.care.empty()) return blocks;
  if (!care) {
    blocks.push_back(
        paragraph(canvas_, {{tongue_.fill("Care notes for the owner: see the app."), true, kInk}}, width()));
    return blocks;
  }
  blocks.push_back(heading(canvas_, tongue_.fill("Care, to tell the owner"), width()));
  for (const std::string& line : piece.care)
    blocks.push_back(paragraph(canvas_, {{"• " + tongue_.say(line), false, kInk}}, width(), 3));
  return blocks;
}

std::vector<Block> Sheet::notes(const plan::PlannedPiece& piece) const {
  std::vector<Block> blocks;
  for (const catalog::Finding* finding : other_findings(plan_, piece))
    blocks.push_back(paragraph(
        canvas_,
        {{tongue_.fill(finding->severity == catalog::Severity::caution ? "Caution:" : "Note:") + " ", true, kInk},
         {finding_words(*finding, tongue_), false, kInk}},
        width(), 4));
  for (const Note& note : notes_of(piece.schedule))
    blocks.push_back(paragraph(canvas_, {{tongue_.say(note.text), false, kInk}, {"  (" + note.ids + ")", false, kSoft}},
                               width(), 4));
  return blocks;
}

void Sheet::add_piece(const plan::PlannedPiece& piece) {
  const std::vector<Row> rows = rows_of(piece.schedule, plan_.system, tongue_);
  const std::string name = piece.name.empty() ? piece.id : piece.name;
  // The second page starts with whose it is and a reminder of the box.
  const std::vector<Block> again{
      paragraph(canvas_, {{name, true, kInk}, {", " + tongue_.fill("continued"), false, kInk}}, width(), 1, 14),
      paragraph(canvas_,
                {{tongue_.fill("Safety:") + " ", true, kInk},
                 {tongue_.fill("lead, rags, solvents, wiring: the box on page 1 holds here too."), false, kInk}},
                width(), 1),
      gap(6)};
  double used = 0;
  for (const Block& block : again) used += block.height;
  const std::vector<double> heights{body(), body() - used};

  const std::vector<Block> first = head(piece), remarks = notes(piece);
  // Setting the table is most of the work; while notes are tried it stays as it is.
  struct {
    bool made = false;
    Room room = Room::roomy;
    std::size_t rows = 0;
    std::vector<Block> blocks;
  } table;
  const auto all = [&](Room room, std::size_t most_rows, bool care, std::size_t most_notes) {
    std::vector<Block> blocks = first;
    const auto add = [&](const std::vector<Block>& more) { blocks.insert(blocks.end(), more.begin(), more.end()); };
    if (!table.made || table.room != room || table.rows != most_rows)
      table = {true, room, most_rows, schedule_table(canvas_, rows, width(), room, most_rows)};
    add(table.blocks);
    add(tail(piece, care));
    if (most_notes > 0) blocks.push_back(heading(canvas_, tongue_.fill("Notes"), width()));
    blocks.insert(blocks.end(), remarks.begin(), remarks.begin() + static_cast<std::ptrdiff_t>(most_notes));
    if (const std::size_t out = remarks.size() - most_notes; out > 0)
      blocks.push_back(
          paragraph(canvas_,
                    {{tongue_.fill(out == 1 ? "{n} note left out, see the app" : "{n} notes left out, see the app",
                                   {std::to_string(out)}),
                      true, kInk}},
                    width()));
    return blocks;
  };
  // The most of something, up to `limit`, that still fits.
  const auto most = [&](std::size_t limit, const auto& blocks_with) {
    std::size_t low = 0, high = limit;
    while (low < high) {
      const std::size_t middle = (low + high + 1) / 2;
      if (flow(blocks_with(middle), heights)) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    return low;
  };
  // Notes go first, then air in the rows, then care notes, and rows only when nothing else helps.
  for (const Room room : {Room::roomy, Room::close, Room::tight, Room::tightest}) {
    if (!flow(all(room, rows.size(), true, 0), heights)) continue;
    const std::size_t kept = most(remarks.size(), [&](std::size_t n) { return all(room, rows.size(), true, n); });
    const std::vector<Block> blocks = all(room, rows.size(), true, kept);
    draw(*flow(blocks, heights), name, again);
    return;
  }
  const std::size_t kept = most(rows.size(), [&](std::size_t n) { return all(Room::tightest, n, false, 0); });
  const std::vector<Block> blocks = all(Room::tightest, kept, false, 0);
  if (const auto pages = flow(blocks, heights)) draw(*pages, name, again);
}

void Sheet::add_shopping() {
  const std::vector<Block> blocks = shopping_page(canvas_, plan_, width(), body());
  if (const auto pages = flow(blocks, {body(), body()})) draw(*pages, tongue_.fill("Shopping and cautions"), {});
}

void Sheet::draw(const Pages& pages, const std::string& name, const std::vector<Block>& again) {
  for (std::size_t i = 0; i < pages.size(); ++i) {
    double top = kJobMargin;
    if (i > 0)
      for (const Block& block : again) {
        block.draw(kJobMargin, top);
        top += block.height;
      }
    for (const Placed& placed : pages[i]) placed.block->draw(kJobMargin, top + placed.y);
    const double foot = size_.height - kJobMargin - kBody - 2;
    const Text made(
        canvas_, {{tongue_.fill("made {when}", {short_day(made_at_, tongue_) + " " + clock(made_at_)}), false, kSoft}},
        170, 1);
    const Text page(canvas_,
                    {{", " + tongue_.fill("page {n} of {n2}", {std::to_string(i + 1), std::to_string(pages.size())}),
                      false, kSoft}},
                    120, 1);
    const Text whose(canvas_, {{name, false, kSoft}}, width() - made.width() - page.width() - 12, 1);
    whose.draw(canvas_, kJobMargin, foot);
    page.draw(canvas_, kJobMargin + whose.width(), foot);
    made.draw(canvas_, size_.width - kJobMargin - made.width(), foot);
    canvas_.end_page();
  }
}

}  // namespace

Result<std::string> job_sheet_pdf(const plan::Plan& plan, Paper paper, Instant made_at, const Tongue& tongue) {
  return Sheet(plan, paper, made_at, tongue).make();
}

}  // namespace tackcloth::sheet
