// Parts from a CSV (RFC 4180): a header row with id, width, height and, when wanted, quantity and turn, in any order.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cutting/strip.h"

namespace tackcloth::cutting {

// How a size is read: whole numbers of the file's own unit, or lengths with their unit as people write them, to
// micrometres.
using ReadLength = Result<Length> (*)(std::string_view text);
Result<Length> whole_number(std::string_view text);
Result<Length> micrometres(std::string_view text);

// `turns`: parts may turn unless the row says `turn` = no. Every mistake has its line.
Results<std::vector<Part>> parts_from_csv(std::string_view text, const std::string& file, bool turns, ReadLength read);

// RFC 4180: id,copy,x,y,width,height,turned; copies from 1, turned yes or no.
std::string places_csv(const std::vector<Part>& parts, const Layout& layout);

}  // namespace tackcloth::cutting
