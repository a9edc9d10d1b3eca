// Least cost over whole counts, by COIN CBC: what the choices of packs have in common.
#pragma once

#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace tackcloth::materials {

inline constexpr double kNoBound = std::numeric_limits<double>::max();

// Minimise sum(cost * count) with 0 <= count <= most, each row's sum between its bounds. Costs are whole numbers.
struct IntegerProgramme {
  struct Row {
    std::vector<std::pair<int, double>> values;  // column, factor
    double low = 0, high = kNoBound;
  };
  std::vector<double> cost, most;  // one a column
  std::vector<Row> rows;
};

struct WholeCounts {
  std::vector<int> counts;  // one a column
  bool proven = false;      // no other is cheaper
};

// Stops after 50,000 nodes, so that the same programme always gives the same answer; nothing when none was found. CBC
// counts in floating numbers: whoever asks has to check what comes back in whole ones.
std::optional<WholeCounts> solve(const IntegerProgramme& programme);

}  // namespace tackcloth::materials
