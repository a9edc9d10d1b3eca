#include "sheet/parts.h"

#include <algorithm>

#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr Ink kSafetyGround{0.97, 0.92, 0.83};

Block safety_with(const Canvas& canvas, const std::vector<SafetyLine>& lines, double width, int most_lines,
                  std::size_t shown) {
  constexpr double kPad = 7, kTitle = 70;
  std::vector<std::pair<Text, Text>> texts;
  double height = 2 * kPad;
  bool cut = false;
  for (std::size_t i = 0; i < std::min(shown, lines.size()); ++i) {
    const SafetyLine& line = lines[i];
    // What was found on this piece is long; a standing caution is short, and kept whole longest.
    texts.emplace_back(Text(canvas, {{canvas.tongue().fill(line.title), true, kInk}}, kTitle, 1),
                       Text(canvas, {{line.text, line.found && line.title == "Must not", kInk}},
                            width - 2 * kPad - kTitle, line.found ? most_lines : std::max(2, most_lines)));
    cut = cut || texts.back().second.cut();
    height += texts.back().second.height() + 2;
  }
  const Tongue& tongue = canvas.tongue();
  std::string closing = tongue.fill("Local codes and licensed practice decide.");
  if (cut) closing = tongue.fill("What ends in … goes on in the safety sheet.") + " " + closing;
  if (shown < lines.size())
    closing = tongue.fill("{n} more warnings, see the app.", {std::to_string(lines.size() - shown)}) + " " + closing;
  texts.emplace_back(Text(canvas, {{"", false, kInk}}, kTitle),
                     Text(canvas, {{closing, shown < lines.size(), kInk}}, width - 2 * kPad - kTitle));
  height += texts.back().second.height();
  return {height, [&canvas, texts, width, height](double x, double y) {
            canvas.fill(x, y, width, height, kSafetyGround);
            canvas.frame(x, y, width, height, 1.2);
            double at = y + kPad;
            for (const auto& [title, text] : texts) {
              title.draw(canvas, x + kPad, at);
              text.draw(canvas, x + kPad + kTitle, at);
              at += text.height() + 2;
            }
          }};
}

}  // namespace

Block gap(double height) {
  return {height, [](double, double) {}};
}

Block paragraph(const Canvas& canvas, const std::vector<Span>& spans, double width, int most_lines, double size) {
  const Text text(canvas, spans, width, most_lines, size);
  return {text.height() + 2, [&canvas, text](double x, double y) { text.draw(canvas, x, y); }};
}

Block heading(const Canvas& canvas, const std::string& words, double width) {
  const Text text(canvas, {{words, true, kInk}}, width, 1, 12.5);
  return {text.height() + 10, [&canvas, text](double x, double y) { text.draw(canvas, x, y + 7); }, true};
}

Block do_now(const Canvas& canvas, const plan::PlannedPiece& piece, units::System system, double width) {
  constexpr double kPad = 8;
  const auto next = std::find_if(piece.schedule.begin(), piece.schedule.end(),
                                 [](const plan::PlannedStep& step) { return !step.done; });
  std::vector<Span> first, second;
  const Tongue& tongue = canvas.tongue();
  const std::string now = tongue.fill("Do now:") + " ";
  if (piece.schedule.empty()) {
    first = {{now + tongue.fill("nothing.") + " ", true, kInk},
             {tongue.fill("There is no schedule yet; the box below says why."), false, kInk}};
  } else if (next == piece.schedule.end()) {
    first = {{now, true, kInk},
             {tongue.fill("every step is done. Look it over and hand it over with its care notes."), false, kInk}};
  } else {
    first = {{now + tongue.say(next->text), true, kInk}};
    const std::vector<Row> row = rows_of({*next}, system, tongue);
    std::string more = tongue.fill("{when}, {when2} to {when3}", {day_words(next->start, tongue), clock(next->start),
                                                                  clock_on(next->end, next->start, tongue)});
    if (!row.front().with.empty()) more += ". " + row.front().with;
    if (!next->zones.empty()) more += ". " + tongue.fill("On {zones}", {zone_words(next->zones, tongue)});
    second = {{more + ".", false, kInk}};
  }
  const Text big(canvas, first, width - 2 * kPad, 3, 14.5);
  const Text small(canvas, second, width - 2 * kPad, 3);
  const double height = big.height() + (second.empty() ? 0 : small.height() + 2) + 2 * kPad;
  return {height, [&canvas, big, small, width, height, more = !second.empty()](double x, double y) {
            canvas.ink(kInk);
            canvas.frame(x, y, width, height, 2);
            big.draw(canvas, x + kPad, y + kPad);
            if (more) small.draw(canvas, x + kPad, y + kPad + big.height() + 2);
          }};
}

Block safety_box(const Canvas& canvas, const std::vector<SafetyLine>& lines, double width, double most_height) {
  Block box;
  for (const int most_lines : {12, 6, 4, 3, 2, 1}) {
    box = safety_with(canvas, lines, width, most_lines, lines.size());
    if (box.height <= most_height) return box;
  }
  for (std::size_t shown = lines.size(); shown > 0 && box.height > most_height;)
    box = safety_with(canvas, lines, width, 2, --shown);
  return box;
}

}  // namespace tackcloth::sheet
