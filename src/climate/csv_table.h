// A CSV with a header row, an optional or needed `time` column and columns of numbers, in any order.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "units/result.h"
#include "units/time.h"

namespace tackcloth::climate {

struct CsvColumn {
  const char* name;
  bool needed;
  double low, high;  // usable values; outside, the row is refused
  const char* mend;  // what to do about a value that cannot be used
};

struct CsvRow {
  int line = 0;
  std::optional<Instant> when;                // empty without a time column
  std::vector<std::optional<double>> values;  // one for each CsvColumn; empty where the field or column is
};

struct CsvTable {
  bool has_time = false;
  std::vector<CsvRow> rows;  // at least one
};

// Every mistake names file, line, column and what was expected.
Result<CsvTable> read_csv_table(const std::string& path, bool time_needed, const std::vector<CsvColumn>& columns);

}  // namespace tackcloth::climate
