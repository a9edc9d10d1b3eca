#include "sheet/forms.h"

#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr const char* kMonths[] = {"January", "February", "March",     "April",   "May",      "June",
                                   "July",    "August",   "September", "October", "November", "December"};
constexpr const char* kSpace = "\u00a0";

std::string shops_mark(job::Numbers numbers) {
  return numbers == job::Numbers::point_comma || numbers == job::Numbers::space_comma ? "," : ".";
}

std::string decimal_mark(const Forms& forms) {
  if (!forms.tongue.english()) return forms.tongue.decimal_mark();
  return shops_mark(forms.numbers);
}

// Where the shop writes its decimals as the language does, its thousands stand as it has them too.
std::string group_mark(const Forms& forms) {
  if (!forms.tongue.english() && forms.tongue.decimal_mark() != shops_mark(forms.numbers))
    return forms.tongue.group_mark();
  switch (forms.numbers) {
    case job::Numbers::comma_point:
      return ",";
    case job::Numbers::point_comma:
      return ".";
    case job::Numbers::space_comma:
    case job::Numbers::space_point:
      break;
  }
  return kSpace;
}

}  // namespace

Forms forms_of(const job::Shop& shop, const Tongue& tongue) {
  return {shop.numbers, shop.dates, shop.currency, tongue};
}

std::string money_words(Money amount, const Forms& forms) {
  const std::string plain = to_text(Money{amount.minor < 0 ? -amount.minor : amount.minor});
  const std::size_t point = plain.find('.');
  std::string out = amount.minor < 0 ? "-" : "";
  for (std::size_t i = 0; i < point; ++i) {
    if (i > 0 && (point - i) % 3 == 0) out += group_mark(forms);
    out += plain[i];
  }
  return out + decimal_mark(forms) + plain.substr(point + 1);
}

std::string priced(Money amount, const Forms& forms) { return money_words(amount, forms) + kSpace + forms.currency; }

std::string percent_words(double percent, const Forms& forms) {
  std::string out;
  for (const char c : number(percent, 4)) out += c == '.' ? decimal_mark(forms) : std::string(1, c);
  return out + kSpace + "%";
}

std::string date_words(Instant instant, const Forms& forms) {
  if (!forms.tongue.english() && forms.dates != job::Dates::year_first) return forms.tongue.dated(instant, "yMMMMd");
  const std::chrono::year_month_day date(day_of(instant));
  const std::string month = kMonths[static_cast<unsigned>(date.month()) - 1];
  const std::string day = std::to_string(static_cast<unsigned>(date.day()));
  const std::string year = std::to_string(static_cast<int>(date.year()));
  switch (forms.dates) {
    case job::Dates::month_first:
      return month + " " + day + ", " + year;
    case job::Dates::year_first:
      return to_iso(instant).substr(0, 10);
    case job::Dates::day_first:
      break;
  }
  return day + " " + month + " " + year;
}

std::string hours_words(int minutes) {
  const std::string rest = std::to_string(minutes % 60) + " min";
  if (minutes < 60) return rest;
  return std::to_string(minutes / 60) + " h" + (minutes % 60 != 0 ? " " + rest : "");
}

}  // namespace tackcloth::sheet
