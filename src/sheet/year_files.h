// The year's summary as files for other programs.
#pragma once

#include <string>

#include "plan/year.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

// RFC 4180: a row a piece, a month and for the year, told apart by their first column. In English: its heads are keys.
std::string year_csv(const plan::Year& year);
// OASIS OpenDocument 1.3, a spreadsheet with the sheets Months and Pieces. The same year gives the same bytes.
Result<std::string> year_ods(const plan::Year& year, const Tongue& tongue = {});

}  // namespace tackcloth::sheet
