#include "cli/command.h"

#include <iostream>

namespace tackcloth::cli {

int report(const std::vector<Problem>& problems) {
  for (const Problem& problem : problems) std::cerr << to_text(problem) << "\n";
  return bad_input;
}

}  // namespace tackcloth::cli
