#include "sheet/strip.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr Ink kWet{0.80, 0.60, 0.34};   // until an even chance
constexpr Ink kPale{0.93, 0.85, 0.72};  // until it is safe
constexpr double kHalf = 10;            // of a wet film's height

// The same small unevenness for the same place: a hand's line, but repeatable. -1..1.
double waver(std::uint32_t seed) {
  seed = (seed ^ 61u) ^ (seed >> 16);
  seed *= 9u;
  seed ^= seed >> 4;
  seed *= 0x27d4eb2du;
  seed ^= seed >> 15;
  return static_cast<double>(seed % 2001u) / 1000.0 - 1;
}

struct Scale {
  double x, width;
  Instant from, to;
  double at(Instant t) const {
    const double share = hours_between(from, t) / std::max(hours_between(from, to), 1.0);
    return x + width * std::clamp(share, 0.0, 1.0);
  }
};

// Thick where the coat went on, a hair where it is ready.
void wedge(const Canvas& canvas, double from, double to, double start, double end, double middle, Ink colour) {
  const auto half = [&](double x) { return std::max(0.6, kHalf * (end - x) / std::max(end - start, 0.1)); };
  cairo_t* c = canvas.cairo();
  canvas.ink(colour);
  cairo_move_to(c, from, middle - half(from));
  cairo_line_to(c, to, middle - half(to));
  cairo_line_to(c, to, middle + half(to));
  cairo_line_to(c, from, middle + half(from));
  cairo_close_path(c);
  cairo_fill(c);
}

// A dab of a brush: an upright blot with an uneven edge.
void dab(const Canvas& canvas, double from, double to, double middle, std::uint32_t seed, double half = 13) {
  cairo_t* c = canvas.cairo();
  const double width = std::max(to - from, 2.4);
  canvas.ink(kInk);
  const double top = middle - half + 1.6 * waver(seed), foot = middle + half + 1.6 * waver(seed + 1);
  const double lean = 0.8 * waver(seed + 2);
  cairo_move_to(c, from + lean, top + 1.5);
  cairo_curve_to(c, from + width * 0.3, top - 1, from + width * 0.7, top + 1, from + width + lean, top + 1);
  cairo_curve_to(c, from + width + 0.7, middle - 4, from + width - 0.5, middle + 4, from + width - lean, foot - 1);
  cairo_curve_to(c, from + width * 0.7, foot + 1, from + width * 0.3, foot - 0.5, from - lean, foot);
  cairo_curve_to(c, from - 0.6, middle + 4, from + 0.5, middle - 4, from + lean, top + 1.5);
  cairo_close_path(c);
  cairo_fill(c);
}

double label(const Canvas& canvas, const std::string& words, double x, double y) {
  const Text text(canvas, {{words, false, kSoft}}, 400, 1);
  text.draw(canvas, x, y);
  return text.width();
}

void days(const Canvas& canvas, const Scale& scale, double middle) {
  cairo_t* c = canvas.cairo();
  const double day = scale.width / std::max(hours_between(scale.from, scale.to) / 24, 1.0);
  const int every = std::max(1, static_cast<int>(std::ceil(58 / day)));
  int count = 0;
  for (Instant t = scale.from; t < scale.to; t += std::chrono::hours(24), ++count) {
    const double x = scale.at(t);
    canvas.ink(kSoft);
    cairo_set_line_width(c, count % every == 0 ? 0.8 : 0.4);
    cairo_move_to(c, x, middle - 15);
    cairo_line_to(c, x + 0.6 * waver(static_cast<std::uint32_t>(count)), middle + (count % every == 0 ? 20 : 15));
    cairo_stroke(c);
    if (count % every == 0 && x + 52 < scale.x + scale.width + 4)
      label(canvas, short_day(t, canvas.tongue()), x + 3, middle + 14);
  }
}

}  // namespace

void draw_strip(const Canvas& canvas, const plan::PlannedPiece& piece, double x, double y, double width) {
  if (piece.schedule.empty()) return;
  Instant from = piece.schedule.front().start, to = from;
  for (const plan::PlannedStep& step : piece.schedule) {
    from = std::min(from, step.start);
    to = std::max({to, step.end, step.ready_p90});
  }
  // A film that goes on curing for weeks would squeeze the bench days together: the strip ends with the day of
  // hand-over.
  to = std::min(to, std::max(piece.finish, from) + std::chrono::hours(24));
  const Scale scale{x, width, Instant(day_of(from)), Instant(day_of(to) + std::chrono::days(1))};
  const double middle = y + 16;
  cairo_t* c = canvas.cairo();
  for (const plan::PlannedStep& step : piece.schedule) {
    if (step.ready_p90 <= step.end) continue;
    const double start = scale.at(step.end), likely = scale.at(step.ready_p50), safe = scale.at(step.ready_p90);
    wedge(canvas, likely, safe, start, safe, middle, kPale);
    wedge(canvas, start, likely, start, safe, middle, kWet);
  }
  days(canvas, scale, middle);
  canvas.ink(kInk);
  cairo_set_line_width(c, 0.9);
  cairo_move_to(c, x, middle);
  for (int i = 1; i <= 40; ++i)
    cairo_line_to(c, x + width * i / 40, middle + 0.5 * waver(static_cast<std::uint32_t>(1000 + i)));
  cairo_stroke(c);
  std::uint32_t seed = 1;
  for (const plan::PlannedStep& step : piece.schedule) {
    if (step.minutes <= 0) continue;
    if (step.turns.empty()) dab(canvas, scale.at(step.start), scale.at(step.end), middle, seed);
    for (const plan::Turn& turn : step.turns) dab(canvas, scale.at(turn.start), scale.at(turn.end), middle, seed);
    seed += 7;
  }
  const double foot = y + kStripHeight - 16;
  dab(canvas, x + 2, x + 5, foot + 7, 5, 7);
  double next = x + 12 + label(canvas, canvas.tongue().fill("hands on"), x + 12, foot) + 16;
  wedge(canvas, next + 24, next + 34, next, next + 34, foot + 7, kPale);
  wedge(canvas, next, next + 24, next, next + 34, foot + 7, kWet);
  label(canvas, canvas.tongue().fill("drying: dark until ready with an even chance, pale until it is safe"), next + 40,
        foot);
  canvas.ink(kInk);
}

}  // namespace tackcloth::sheet
