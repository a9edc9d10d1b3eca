// What is known of the palette's values, for docs/sources.md.
#include <sstream>

#include "color/palette.h"

namespace tackcloth::color {

namespace {

void line(std::ostringstream& out, const std::string& id, const std::string& name, const std::string& mark) {
  out << "| `" << id << "`" << (name.empty() ? "" : " ") << name << " | " << mark << " |\n";
}

}  // namespace

std::string sources_markdown(const Palette& palette) {
  std::ostringstream out;
  out << "\n## Colourants, clears and woods\n\n"
         "None was measured here: each is a model or a typical value, and its mark says of what. A sample board "
         "decides.\n\n"
         "| entry | what its values are |\n|---|---|\n";
  for (const Colorant& c : palette.colorants) line(out, c.id, c.name, c.mark);
  for (const Clear& c : palette.clears) line(out, c.id, c.name, c.mark);
  for (const Wood& w : palette.woods) line(out, w.id, "", w.mark);
  return out.str();
}

}  // namespace tackcloth::color
