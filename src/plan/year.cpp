#include "plan/year.h"

#include <algorithm>
#include <cmath>

#include "materials/share.h"

namespace tackcloth::plan {

std::optional<Money> YearSums::per_hour() const {
  if (minutes <= 0) return std::nullopt;
  return materials::share_of(left, 60, minutes);
}

YearSums& YearSums::operator+=(const YearSums& more) {
  pieces += more.pieces;
  income += more.income;
  tax += more.tax;
  materials += more.materials;
  waste_fees += more.waste_fees;
  left += more.left;
  minutes += more.minutes;
  untimed_minutes += more.untimed_minutes;
  return *this;
}

void add_up(Year& year) {
  for (YearSums& month : year.months) month = {};
  year.total = {};
  for (const YearPiece& piece : year.pieces) {
    const auto month = static_cast<unsigned>(std::chrono::year_month_day(piece.day).month());
    year.months[month - 1] += piece.sums;
  }
  for (const YearSums& month : year.months) year.total += month;
}

Year year_of(int year, const std::string& currency, const std::vector<PieceActual>& actuals) {
  Year book;
  book.year = year;
  book.currency = currency;
  for (const PieceActual& actual : actuals) {
    if (!actual.handed_over) continue;
    const auto day = std::chrono::floor<std::chrono::days>(*actual.handed_over);
    if (static_cast<int>(std::chrono::year_month_day(day).year()) != year) continue;
    const materials::Offer& offer = actual.as_it_went;
    YearPiece piece{day, actual.id, actual.name, actual.owner, {}, actual.agreed, actual.materials_bought.has_value()};
    YearSums& sums = piece.sums;
    sums.pieces = 1;
    sums.income = offer.total;
    sums.tax = offer.tax;
    sums.materials = offer.materials;
    sums.waste_fees = materials::sum_of(offer.waste_fees);
    sums.left = sums.income - sums.tax - sums.materials - sums.waste_fees;
    sums.minutes = offer.minutes;
    // What was handed over is done: steps that were not ticked were not timed either.
    sums.untimed_minutes =
        std::min<std::int64_t>(sums.minutes, std::llround(actual.all.planned_min - actual.all.timed_planned_min));
    book.pieces.push_back(std::move(piece));
  }
  std::sort(book.pieces.begin(), book.pieces.end(),
            [](const YearPiece& a, const YearPiece& b) { return a.day != b.day ? a.day < b.day : a.id < b.id; });
  add_up(book);
  return book;
}

}  // namespace tackcloth::plan
