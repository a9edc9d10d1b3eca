// Quotes and invoices read back with poppler: every line, every sum, nothing made up.
#include "sheet/bill.h"

#include "pdf_reader.h"
#include "sample_plan.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

job::Job sample_job() {
  job::Job job;
  job.shop.name = "Back Lane Workshop";
  job.shop.address = {"3 Back Lane", "Exampleton"};
  job.shop.tax_number = "EX 123";
  job.shop.currency = "EUR";
  job.shop.tax_percent = 7.25;
  job.shop.waste_fees = {{"spent stripper", {650}}};
  job.shop.not_included = {"Carrying it up the stairs."};
  job::PieceOrder order;
  order.piece.id = "P1";
  order.owner_address = {"9 Example Street"};
  piece::Part part;
  part.has_wiring = true;
  order.piece.parts = {part};
  job.pieces = {order};
  return job;
}

plan::Plan usable_plan() {
  plan::Plan plan = sample_plan();
  plan.pieces[0].light_use = at(6, 8);
  plan.pieces[0].full_use = at(20, 9);
  return plan;
}

materials::Offer sample_offer(const materials::Ask& ask = {}) {
  materials::Costs costs;
  costs.materials = {123456};
  costs.hours = 5.5;
  costs.hourly_rate = {4500};
  costs.overhead_percent = 10;
  costs.profit_percent = 15;
  costs.tax_percent = 7.25;
  costs.waste_fees = {{"spent stripper", {650}}};
  return materials::offer(costs, ask, {{}, 30}).value();
}

class BillPaper : public PdfReader {
 protected:
  Bill bill(const materials::Offer& offer = sample_offer()) const {
    return bill_of(job_, job_.pieces[0], plan_, plan_.pieces[0], offer, at(0, 8));
  }
  job::Job job_ = sample_job();
  plan::Plan plan_ = usable_plan();
};

TEST_F(BillPaper, QuoteSaysAllOfIt) {
  Bill quote = bill();
  quote.valid_until = at(30, 0);
  read(quote_pdf(quote, Paper::a4, at(0, 8)));
  for (const char* expected : {"Quote",
                               "Back Lane Workshop",
                               "3 Back Lane",
                               "Exampleton",
                               "Tax number EX 123",
                               "Date: 2 March 2026",
                               "M. Example",
                               "9 Example Street",
                               "Hall table",
                               "What is done",
                               "Sanding",
                               "Clear finish: Satin wiping varnish, 3 coats",
                               "Materials",
                               "1 234.56 EUR",
                               "Waste: spent stripper",
                               "6.50 EUR",
                               "Sum before tax",
                               "Tax, 7.25 %",
                               "Total",
                               "Deposit before work starts",
                               "Balance at hand-over",
                               "Valid until 1 April 2026",
                               "Not included",
                               "Carrying it up the stairs.",
                               "Anything electrical",
                               "old finish may hold lead",
                               "Light use from 9 March 2026",
                               "Full use from 23 March 2026",
                               "Agreed"})
    EXPECT_TRUE(says(expected)) << expected << " not in: " << words();
}

// Every amount on the paper read back: the lines add up to the sum before tax, and on to the total and its two parts.
TEST_F(BillPaper, AmountsAddUpOnThePaper) {
  for (const auto ask : {materials::Ask{}, materials::Ask{materials::Ask::From::earning, {6000}},
                         materials::Ask{materials::Ask::From::market, {250000}},
                         materials::Ask{materials::Ask::From::market, {50000}}}) {
    read(quote_pdf(bill(sample_offer(ask)), Paper::letter, at(0, 8)));
    const std::string text = words();
    std::vector<std::int64_t> amounts;
    for (const auto& amount : matches(text, "(-?)(\\d{1,3}(?: \\d{3})*)\\.(\\d\\d) EUR")) {
      std::string whole = amount[2];
      std::erase(whole, ' ');
      amounts.push_back((std::stoll(whole) * 100 + std::stoll(amount[3])) * (amount[1].empty() ? 1 : -1));
    }
    ASSERT_GE(amounts.size(), 7u) << text;
    const std::size_t n = amounts.size();  // ..., net, tax, total, deposit, balance
    std::int64_t lines = 0;
    for (std::size_t i = 0; i + 5 < n; ++i) lines += amounts[i];
    EXPECT_EQ(lines, amounts[n - 5]) << text;
    EXPECT_EQ(amounts[n - 5] + amounts[n - 4], amounts[n - 3]);
    EXPECT_EQ(amounts[n - 2] + amounts[n - 1], amounts[n - 3]);
    if (ask.from == materials::Ask::From::market) {
      EXPECT_EQ(amounts[n - 3], ask.amount.minor);
    }
  }
}

TEST_F(BillPaper, NothingIsMadeUp) {
  job_.shop = {};
  job_.shop.rooms = {};
  job_.pieces[0].owner_address.clear();
  plan_.pieces[0].owner.clear();
  plan_.pieces[0].light_use.reset();
  read(quote_pdf(bill(), Paper::a4, at(0, 8)));
  const std::string text = words();
  std::size_t names = 0, addresses = 0;
  for (std::size_t at = 0; (at = text.find("Name:", at)) != std::string::npos; ++at) ++names;
  for (std::size_t at = 0; (at = text.find("Address:", at)) != std::string::npos; ++at) ++addresses;
  EXPECT_EQ(names, 2u) << text;
  EXPECT_EQ(addresses, 2u) << text;
  EXPECT_TRUE(says("Valid until:"));
  EXPECT_TRUE(says("When it may be used is not known"));
}

TEST_F(BillPaper, InvoiceHasItsNumberAndWhatIsLeftToPay) {
  Bill invoice = bill();
  EXPECT_FALSE(invoice_pdf(invoice, Paper::a4, at(0, 8)).has_value());  // no number
  invoice.number = "2026-014";
  invoice.paid = Money{50000};
  invoice.forms.numbers = job::Numbers::comma_point;
  invoice.forms.dates = job::Dates::month_first;
  read(invoice_pdf(invoice, Paper::letter, at(0, 8)));
  EXPECT_NE(info_.find("612 x 792"), std::string::npos) << info_;
  EXPECT_TRUE(says("Invoice 2026-014"));
  EXPECT_TRUE(says("March 2, 2026"));
  EXPECT_TRUE(says("-500.00 EUR")) << words();
  EXPECT_TRUE(says("To pay " + money_words(invoice.total - Money{50000}, invoice.forms))) << words();
  invoice.paid = invoice.total + Money{1};
  read(invoice_pdf(invoice, Paper::letter, at(0, 8)));
  EXPECT_TRUE(says("To be paid back 0.01 EUR")) << words();
}

TEST_F(BillPaper, LinesThatDoNotAddUpAreRefused) {
  Bill wrong = bill();
  wrong.lines[0].amount += Money{1};
  EXPECT_FALSE(quote_pdf(wrong, Paper::a4, at(0, 8)).has_value());
}

TEST_F(BillPaper, LongTextsRunOn) {
  Bill quote = bill();
  for (int i = 0; i < 60; ++i) quote.work.push_back("Work number " + std::to_string(i) + " " + std::string(150, 'x'));
  read(quote_pdf(quote, Paper::a4, at(0, 8)));
  EXPECT_GE(pages(), 2);
  EXPECT_TRUE(says("Work number 59"));
  EXPECT_TRUE(says("page 2 of"));
}

TEST(OwnerForms, HoursToTheMinute) {
  EXPECT_EQ(hours_words(0), "0 min");
  EXPECT_EQ(hours_words(59), "59 min");
  EXPECT_EQ(hours_words(600), "10 h");
  EXPECT_EQ(hours_words(646), "10 h 46 min");
}

TEST(OwnerForms, AsTheShopWrites) {
  const auto money = [](std::int64_t minor, job::Numbers numbers) {
    return money_words({minor}, {numbers, job::Dates::day_first, "EUR"});
  };
  EXPECT_EQ(money(123456789, job::Numbers::comma_point), "1,234,567.89");
  EXPECT_EQ(money(123456789, job::Numbers::point_comma), "1.234.567,89");
  EXPECT_EQ(money(123456789, job::Numbers::space_comma), "1\u00a0234\u00a0567,89");
  EXPECT_EQ(money(-100005, job::Numbers::space_point), "-1\u00a0000.05");
  EXPECT_EQ(money(99999, job::Numbers::comma_point), "999.99");
  EXPECT_EQ(money(7, job::Numbers::comma_point), "0.07");
  const auto date = [](job::Dates dates) { return date_words(at(2, 9), {job::Numbers::comma_point, dates, "EUR"}); };
  EXPECT_EQ(date(job::Dates::day_first), "4 March 2026");
  EXPECT_EQ(date(job::Dates::month_first), "March 4, 2026");
  EXPECT_EQ(date(job::Dates::year_first), "2026-03-04");
}

}  // namespace
}  // namespace tackcloth::sheet
