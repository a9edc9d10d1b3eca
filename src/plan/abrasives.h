// How fast a surface spends abrasive paper.
#pragma once

#include "job/job.h"
#include "plan/route.h"

namespace tackcloth::plan {

// Sheets spent for one that would be spent on the same area of bare wood: a finish that softens with the warmth of
// sanding loads the paper. 1 on bare wood and between the shop's own coats. On several parts, the worst of them.
double clogging_of(const Task& task, const job::PieceOrder& order);

// A sheet lasts longer in one hand than in another: coefficient of variation of the sheets of one grit. Common
// practice, no source.
inline constexpr double kSheetCv = 0.25;

}  // namespace tackcloth::plan
