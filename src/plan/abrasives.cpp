#include "plan/abrasives.h"

#include <algorithm>

namespace tackcloth::plan {
namespace {

// Common practice, no source: wax and soft oil gum up at once, shellac and thermoplastic paint melt, hard films dust.
double clogging(piece::Existing existing, bool stubborn) {
  double times = 1;
  switch (existing) {
    case piece::Existing::bare:
    case piece::Existing::bare_metal:
    case piece::Existing::laminate:
      return 1;
    case piece::Existing::lacquer:
    case piece::Existing::varnish:
      times = 1.5;
      break;
    case piece::Existing::oil:
    case piece::Existing::paint_oil:
      times = 2;
      break;
    case piece::Existing::shellac:
    case piece::Existing::paint_water:
      times = 2.5;
      break;
    case piece::Existing::wax:
      times = 3;
      break;
    case piece::Existing::unknown:  // any of them: bought for the worse
      times = 2.5;
      break;
  }
  return stubborn ? times * 1.5 : times;
}

}  // namespace

double clogging_of(const Task& task, const job::PieceOrder& order) {
  // A step at a film that the shop laid scuffs it; only `sand` works at what was there before.
  if (task.step.kind != finish::StepKind::sand || task.step.ground != film::Ground::sealed) return 1;
  double worst = 1;
  for (const std::string& zone : task.zones) {
    const std::string part = zone.substr(0, zone.find('/'));
    for (const piece::Part& one : order.piece.parts)
      if (one.id == part) worst = std::max(worst, clogging(one.existing, one.stubborn_finish));
  }
  return worst;
}

}  // namespace tackcloth::plan
