// What the command `cut` is asked to lay out: from a job file, a table or a drawing, with its options laid over it.
#pragma once

#include <string>
#include <vector>

#include "cli/command.h"
#include "cutting/order.h"

namespace tackcloth::cli {

struct CutOptions {
  std::string input, only, units;
  std::string width, sheet_length, selvedge, wrap, seam, gap, repeat_x, repeat_y, first_x, first_y;
  std::vector<std::string> remnants;  // "60cm x 85cm", or a file with one outline
  bool turns = false, grain = false, guillotine = false, not_centred = false, outlines = false, join = false;
};

struct CutTask {
  std::string id, name;  // of the [[cut]]; empty when options alone say what it is
  cutting::Order order;
};

// `system` is the shop's where neither the units nor the width say another.
Results<std::vector<CutTask>> cut_tasks(const CutOptions& options, units::System& system, const Context& context);

}  // namespace tackcloth::cli
