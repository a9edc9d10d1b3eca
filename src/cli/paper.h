// Which paper is meant.
#pragma once

#include <string>

#include "sheet/sheet.h"
#include "units/quantity.h"

namespace tackcloth::cli {

// "a4", "letter", or empty: as the shop measures.
inline sheet::Paper paper_of(const std::string& word, units::System system) {
  const bool letter = word.empty() ? system == units::System::us : word == "letter";
  return letter ? sheet::Paper::letter : sheet::Paper::a4;
}

}  // namespace tackcloth::cli
