// The shop's year: what was handed over, month by month. Whole minor units and whole minutes; every sum is the sum of
// its lines.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/actual.h"
#include "units/result.h"

namespace tackcloth::plan {

struct YearSums {
  std::int64_t pieces = 0;
  Money income;  // what owners paid in all
  Money tax;     // in it
  Money materials, waste_fees;
  Money left;                        // income less the other three
  std::int64_t minutes = 0;          // of work
  std::int64_t untimed_minutes = 0;  // of those: nobody told, so the plan's
  // left by the hour, half away from zero; nothing without minutes.
  std::optional<Money> per_hour() const;
  YearSums& operator+=(const YearSums& more);
};

struct YearPiece {
  std::chrono::local_days day;  // handed over
  std::string id, name, owner;
  YearSums sums;        // of this piece alone
  bool agreed = false;  // else the income is the plan's own price
  bool bought = false;  // else materials are the plan's
};

struct Year {
  int year = 0;
  std::string currency;
  std::vector<YearPiece> pieces;  // by day, then id
  YearSums months[12];
  YearSums total;
  // Handed over in that year and taken out of the job since: not in the sums.
  std::vector<std::string> missing;
};

// Of those handed over in that year.
Year year_of(int year, const std::string& currency, const std::vector<PieceActual>& actuals);
// The sums of `pieces`.
void add_up(Year& year);

}  // namespace tackcloth::plan
