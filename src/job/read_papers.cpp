// What the job file says for papers that go to the owner.
#include "job/read.h"
#include "job/words.h"

namespace tackcloth::job {

namespace {
constexpr std::size_t kMostFees = 20, kMostBought = 200;
}

namespace {

// What was paid, and for what.
std::vector<materials::Fee> read_fees(reading::Table& table, const char* key) {
  std::vector<materials::Fee> fees;
  for (reading::Table& row : table.tables(key)) {
    materials::Fee fee;
    if (!row.has("what")) row.need_text("what");
    fee.what = read_line(row, "what", "");
    if (!row.has("amount")) row.need_text("amount");
    fee.amount = read_money(row, "amount").value_or(Money{});
    row.finish();
    fees.push_back(std::move(fee));
  }
  return fees;
}

}  // namespace

std::vector<materials::Fee> read_waste_fees(reading::Table& table) {
  std::vector<materials::Fee> fees = read_fees(table, "waste_fee");
  if (fees.size() > kMostFees)
    table.problem("waste_fee", "there are more than 20 waste fees", "at most 20", "join some of them");
  return fees;
}

std::vector<materials::Fee> read_bought(reading::Table& table) {
  std::vector<materials::Fee> bought = read_fees(table, "bought");
  if (bought.size() > kMostBought)
    table.problem("bought", "there are more than 200 purchases on one piece", "at most 200", "join some of them");
  return bought;
}

std::vector<materials::Fee> waste_fees(const Shop& shop, const PieceOrder& order) {
  std::vector<materials::Fee> fees = shop.waste_fees;
  fees.insert(fees.end(), order.waste_fees.begin(), order.waste_fees.end());
  return fees;
}

// What stands on quotes and invoices.
void read_papers(reading::Table& table, Shop& shop) {
  shop.address = read_lines(table, "address", 6);
  shop.tax_number = read_line(table, "tax_number", "");
  const bool us = shop.system == units::System::us;
  const auto numbers = table.choice("numbers", number_words());
  shop.numbers = numbers ? static_cast<Numbers>(*numbers) : us ? Numbers::comma_point : Numbers::space_point;
  const auto dates = table.choice("dates", date_words());
  shop.dates = dates ? static_cast<Dates>(*dates) : us ? Dates::month_first : Dates::day_first;
  shop.waste_fees = read_waste_fees(table);
  shop.not_included = read_lines(table, "not_included", 12);
  if (const auto text = table.text("deposit")) {
    const auto deposit = materials::parse_deposit(*text);
    if (deposit)
      shop.deposit = *deposit;
    else
      table.problem("deposit", deposit.error().what, deposit.error().expected, deposit.error().remedy);
  }
}

}  // namespace tackcloth::job
