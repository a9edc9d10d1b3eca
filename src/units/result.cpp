#include "units/result.h"

namespace tackcloth {

std::string to_text(const Problem& problem) {
  std::string text = problem.file;
  if (problem.line > 0) {
    text += (text.empty() ? "line " : ":") + std::to_string(problem.line);
    if (problem.column > 0) text += ":" + std::to_string(problem.column);
  }
  if (!text.empty()) text += ": ";
  text += problem.what;
  if (!problem.expected.empty()) text += ". Expected: " + problem.expected;
  if (!problem.remedy.empty()) text += ". To mend: " + problem.remedy;
  return text + ".";
}

}  // namespace tackcloth
