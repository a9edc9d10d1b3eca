// How numbers, money and dates stand on papers for the owner: as the shop writes them.
#pragma once

#include <string>

#include "job/job.h"
#include "sheet/sheet.h"
#include "units/money.h"
#include "units/time.h"

namespace tackcloth::sheet {

struct Forms {
  job::Numbers numbers = job::Numbers::space_point;
  job::Dates dates = job::Dates::day_first;
  std::string currency = "EUR";  // ISO 4217
  Tongue tongue = {};            // the paper's; its own marks and dates go before what does not suit it
};
Forms forms_of(const job::Shop& shop, const Tongue& tongue = {});

std::string money_words(Money amount, const Forms& forms);      // "1 234.50"; thousands by a space that does not break
std::string priced(Money amount, const Forms& forms);           // "1 234.50 EUR"
std::string percent_words(double percent, const Forms& forms);  // "7.25 %"
std::string date_words(Instant instant, const Forms& forms);    // "4 March 2027", "March 4, 2027", "2027-03-04"

std::string hours_words(int minutes);  // "10 h 46 min": to the minute, as it is charged

}  // namespace tackcloth::sheet
