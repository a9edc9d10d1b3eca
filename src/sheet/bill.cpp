#include "sheet/bill.h"

#include <algorithm>

#include "sheet/leaves.h"
#include "sheet/parts.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

constexpr double kBillMargin = 50;
constexpr std::size_t kMostPages = 12;

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

std::optional<Problem> sums_that_do_not_match(const Bill& bill) {
  Money lines;
  for (const Bill::Line& line : bill.lines) lines += line.amount;
  if (lines == bill.net && bill.net + bill.tax == bill.total && bill.deposit + bill.balance == bill.total)
    return std::nullopt;
  return Problem{"",
                 0,
                 0,
                 "the lines of this paper do not add up",
                 "lines, tax and total that match",
                 "make the paper again from the job"};
}

class Paperwork {
 public:
  Paperwork(const Bill& bill, const std::string& title, Paper paper, Instant made_at)
      : bill_(bill),
        title_(tongue().fill(title)),
        leaves_(size_of(paper), kBillMargin, title_ + ": " + bill.piece, bill.shop.name, made_at, tongue()) {}

  const Tongue& tongue() const { return bill_.forms.tongue; }
  const std::string& called() const { return title_; }
  void text(const std::string& words, bool bold = false, double size = kBody, int lines = 6) {
    blocks_.push_back(paragraph(leaves_.canvas(), {{words, bold, kInk}}, leaves_.width(), lines, size));
  }
  // No signature stands alone on a page.
  void keep_last() { blocks_.back().keep_with_next = true; }
  void space(double height) { blocks_.push_back(gap(height)); }
  void title(const std::string& words) { blocks_.push_back(heading(leaves_.canvas(), words, leaves_.width())); }
  void amount(const std::string& what, Money amount, bool sum = false) {
    blocks_.push_back(amount_row(leaves_.canvas(), what, priced(amount, bill_.forms), leaves_.width(), sum));
  }
  void to_fill_in(const std::string& label) {
    blocks_.push_back(line_to_fill_in(leaves_.canvas(), label, leaves_.width() * 0.6));
  }
  void list(const std::string& words, const std::vector<std::string>& lines) {
    if (lines.empty()) return;
    title(words);
    for (Block& block : bullets(leaves_.canvas(), lines, leaves_.width())) blocks_.push_back(std::move(block));
  }
  // Shop and owner stand side by side, so that a usual quote is one page.
  void head(const std::string& number) {
    constexpr double kBetween = 24;
    const double half = (leaves_.width() - kBetween) / 2;
    const std::vector<Block> from = party(bill_.shop, tongue().fill("From"), half),
                             to = party(bill_.owner, tongue().fill("For"), half);
    double height = 0;
    for (const auto* column : {&from, &to}) {
      double sum = 0;
      for (const Block& block : *column) sum += block.height;
      height = std::max(height, sum);
    }
    blocks_.push_back({height, [=](double x, double y) {
                         for (const auto& [column, left] : {std::pair(&from, x), std::pair(&to, x + half + kBetween)}) {
                           double top = y;
                           for (const Block& block : *column) {
                             block.draw(left, top);
                             top += block.height;
                           }
                         }
                       }});
    space(8);
    text(title_ + (number.empty() ? "" : " " + number), true, 20, 2);
    text(tongue().fill("Date: {when}", {date_words(bill_.date, bill_.forms)}));
    space(4);
    text(bill_.piece, true, 13, 2);
  }
  void sums() {
    title(tongue().fill("Amounts in {currency}", {bill_.forms.currency}));
    for (const Bill::Line& line : bill_.lines) amount(line.what, line.amount);
    amount(tongue().fill("Sum before tax"), bill_.net, true);
    amount(tongue().fill("Tax, {n}", {percent_words(bill_.tax_percent, bill_.forms)}), bill_.tax);
    amount(tongue().fill("Total"), bill_.total, true);
  }
  Result<std::string> finish(const std::string& foot) { return leaves_.finish(blocks_, foot, kMostPages); }

 private:
  std::vector<Block> party(const Party& party, const std::string& role, double width) const {
    const Canvas& canvas = leaves_.canvas();
    std::vector<Block> blocks{heading(canvas, role, width)};
    const auto line = [&](const std::string& words, bool bold = false) {
      blocks.push_back(paragraph(canvas, {{words, bold, kInk}}, width, 3));
    };
    const auto empty = [&](const char* label) {
      blocks.push_back(line_to_fill_in(canvas, tongue().fill(label), width));
    };
    if (party.name.empty())
      empty("Name");
    else
      line(party.name, true);
    for (const std::string& words : party.address) line(words);
    if (party.address.empty()) empty("Address");
    if (!party.tax_number.empty()) line(tongue().fill("Tax number {number}", {party.tax_number}));
    return blocks;
  }

  const Bill& bill_;
  std::string title_;
  Leaves leaves_;
  std::vector<Block> blocks_;
};

std::string foot_of(const Bill& bill, const std::string& title) {
  return title + ", " + bill.piece + (bill.shop.name.empty() ? "" : ", " + bill.shop.name);
}

}  // namespace

Bill bill_of(const job::Job& job, const job::PieceOrder& order, const plan::Plan& plan, const plan::PlannedPiece& piece,
             const materials::Offer& offer, Instant date, const Tongue& tongue) {
  Bill bill;
  bill.shop = {job.shop.name, job.shop.address, job.shop.tax_number};
  bill.owner = {piece.owner, order.owner_address, ""};
  bill.piece = piece.name.empty() ? piece.id : piece.name;
  bill.forms = forms_of(job.shop, tongue);
  bill.date = date;
  const Money fees = materials::sum_of(offer.waste_fees);
  const Money work = offer.net - offer.materials - fees;
  const std::string hours = hours_words(offer.minutes);
  if (work.minor < 0) {
    bill.lines.push_back({tongue.fill("Work, {n}, materials included", {hours}), offer.net - fees});
  } else {
    bill.lines.push_back({tongue.fill("Work, {n}", {hours}), work});
    bill.lines.push_back({tongue.fill("Materials"), offer.materials});
  }
  for (const materials::Fee& fee : offer.waste_fees)
    bill.lines.push_back({tongue.fill("Waste: {what}", {fee.what}), fee.amount});
  bill.net = offer.net;
  bill.tax = offer.tax;
  bill.total = offer.total;
  bill.tax_percent = job.shop.tax_percent;
  bill.deposit = offer.deposit;
  bill.balance = offer.balance;
  bill.work = work_words(piece, tongue);
  bill.cautions = owner_cautions(plan, piece, bill.forms);
  bill.not_included = job.shop.not_included;
  for (const piece::Part& part : order.piece.parts)
    if (part.has_wiring) {
      bill.not_included.push_back(tongue.fill("Anything electrical: it is left to a qualified person."));
      break;
    }
  bill.not_included.push_back(tongue.fill(
      "Work that is not listed above; what comes to light under the old finish is told before it is done."));
  return bill;
}

Result<std::string> quote_pdf(const Bill& bill, Paper paper, Instant made_at) {
  if (auto problem = sums_that_do_not_match(bill)) return tl::unexpected(*problem);
  Paperwork work(bill, "Quote", paper, made_at);
  work.head("");
  const Tongue& tongue = bill.forms.tongue;
  work.list(tongue.fill("What is done"), bill.work);
  work.sums();
  if (bill.deposit.minor > 0) {
    work.amount(tongue.fill("Deposit before work starts"), bill.deposit);
    work.amount(tongue.fill("Balance at hand-over"), bill.balance, true);
  }
  work.space(8);
  if (bill.valid_until)
    work.text(tongue.fill("Valid until {when}.", {date_words(*bill.valid_until, bill.forms)}), true);
  else
    work.to_fill_in(tongue.fill("Valid until"));
  work.list(tongue.fill("Not included"), bill.not_included);
  work.list(tongue.fill("To know"), bill.cautions);
  work.keep_last();
  work.space(14);
  work.keep_last();
  work.to_fill_in(tongue.fill("Agreed, date and name"));
  return work.finish(foot_of(bill, work.called()));
}

Result<std::string> invoice_pdf(const Bill& bill, Paper paper, Instant made_at) {
  if (auto problem = sums_that_do_not_match(bill)) return tl::unexpected(*problem);
  if (bill.number.empty())
    return wrong("an invoice needs a number", "a number of its own for each invoice", "give --invoice NUMBER");
  if (bill.paid && bill.paid->minor < 0)
    return wrong("what was paid is " + to_text(*bill.paid), "money from 0 on", "check the figure");
  Paperwork work(bill, "Invoice", paper, made_at);
  work.head(bill.number);
  const Tongue& tongue = bill.forms.tongue;
  work.list(tongue.fill("What was done"), bill.work);
  work.sums();
  const Money paid = bill.paid.value_or(Money{});
  if (paid.minor > 0) work.amount(tongue.fill("Paid already"), Money{} - paid);
  if (paid > bill.total)
    work.amount(tongue.fill("To be paid back"), paid - bill.total, true);
  else
    work.amount(tongue.fill("To pay"), bill.total - paid, true);
  work.list(tongue.fill("To know"), bill.cautions);
  return work.finish(foot_of(bill, work.called() + " " + bill.number));
}

}  // namespace tackcloth::sheet
