// Which paper is meant, and in which language.
#pragma once

#include <string>

#include "cli/command.h"
#include "sheet/sheet.h"
#include "units/quantity.h"

namespace tackcloth::cli {

// "a4", "letter", or empty: as the shop measures.
inline sheet::Paper paper_of(const std::string& word, units::System system) {
  const bool letter = word.empty() ? system == units::System::us : word == "letter";
  return letter ? sheet::Paper::letter : sheet::Paper::a4;
}

// Of a query's `paper`.
inline Result<void> check_paper(const std::string& word) {
  if (word.empty() || word == "a4" || word == "letter") return {};
  return tl::unexpected(Problem{"", 0, 0, "there is no such paper", "paper=a4 or paper=letter", "take one"});
}

inline void add_language_option(CLI::App& command, std::string& language) {
  command.add_option("--language", language, "of the papers, like de; left out: English");
}
inline Result<sheet::Tongue> tongue_of(const std::string& language, const Context& context) {
  return sheet::Tongue::load(context.catalog_dir, language);
}

}  // namespace tackcloth::cli
