// Every value of an entry by name, with its text: what must carry a mark and what docs/sources.md lists.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "catalog/catalog.h"
#include "units/result.h"

namespace tackcloth::catalog {

using Values = std::vector<std::pair<std::string, std::string>>;  // name, text; in the order of the file format

Values values_of(const Product& product);
Values values_of(const Species& species);
Values values_of(const Abrasive& abrasive);
Values values_of(const Component& component);
Values values_of(const Pace& pace);

// Shortest decimal text that reads back as the same number.
std::string number_text(double value);

// "source: ...", "common practice", "common practice: ...", "from memory", "demo".
Result<Mark> parse_mark(std::string_view text);

// Marks as written: by value name, by group (the part before the first dot), or "default".
using RawMarks = std::map<std::string, Mark>;
struct Expanded {
  std::map<std::string, Mark> marks;   // one for every value that has any
  std::vector<std::string> missing;    // values without a mark
  std::vector<std::string> pointless;  // written marks that name no value and no group
};
Expanded expand_marks(const RawMarks& raw, const Values& values);

}  // namespace tackcloth::catalog
