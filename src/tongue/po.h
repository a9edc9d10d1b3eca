// A book of translations as it lies on disk: a PO file (GNU gettext manual, "The Format of PO Files"), the same that
// the page is built with. Read here and not by GNU's libgettextpo, whose licence is the GPL's.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "units/result.h"

namespace tackcloth::tongue {

struct Entry {
  std::string context, english, other;
};
struct Po {
  std::string language;  // of the header
  std::vector<Entry> entries;
};

// Left out are the header, what is not translated yet, and what is marked `fuzzy`. No plural forms: the book has none.
Result<Po> parse_po(std::string_view text, const std::string& file);
Result<Po> read_po(const std::string& file);

}  // namespace tackcloth::tongue
