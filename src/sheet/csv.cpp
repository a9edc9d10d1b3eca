#include "sheet/csv.h"

#include "sheet/sheet.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

// Section 2, rules 5 to 7: quoted when it has a comma, quote or line break; quotes doubled.
std::string field(std::string_view text) {
  const std::string value = clean(text);
  if (value.find_first_of(",\"\r\n") == std::string::npos) return value;
  std::string out = "\"";
  for (const char c : value) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

}  // namespace

std::string csv_row(const std::vector<std::string>& fields) {
  std::string out;
  for (const std::string& text : fields) out += (&text == &fields.front() ? "" : ",") + field(text);
  return out + "\r\n";
}

std::string shopping_csv(const plan::Plan& plan) {
  std::string out = csv_row({"product", "name", "unit", "need", "from_shelf", "pack", "count", "each", "total",
                             "currency", "left_over", "note"});
  for (const materials::Purchase& purchase : plan.purchases) {
    const auto line = [&](const std::string& pack, const std::string& count, const std::string& each,
                          const std::string& total) {
      out += csv_row({purchase.product, purchase.name, purchase.unit, number(purchase.need, 4),
                      number(purchase.from_shelf, 4), pack, count, each, total, plan.currency,
                      number(purchase.left_over, 4), purchase.note});
    };
    if (purchase.lines.empty()) line("", "0", "", to_text(Money{}));
    for (const materials::Purchase::Line& l : purchase.lines)
      line(number(l.pack, 4), std::to_string(l.count), to_text(l.each), to_text(l.total));
  }
  return out;
}

}  // namespace tackcloth::sheet
