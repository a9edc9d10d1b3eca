// Quote and invoice for the owner of a piece (PDF).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "materials/offer.h"
#include "sheet/forms.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct Party {
  std::string name;
  std::vector<std::string> address;
  std::string tax_number;
};

struct Bill {
  struct Line {
    std::string what;
    Money amount;
  };
  Party shop, owner;  // what is empty is a line to fill in
  std::string piece;
  Forms forms;
  Instant date;
  std::vector<Line> lines;  // add up to `net`
  Money net, tax, total;    // total = net + tax
  double tax_percent = 0;
  std::vector<std::string> work;      // what is done
  std::vector<std::string> cautions;  // what its owner has to know
  Money deposit, balance;
  // Of a quote:
  std::optional<Instant> valid_until;  // else a line to fill in
  std::vector<std::string> not_included;
  // Of an invoice:
  std::string number;
  std::optional<Money> paid;
};

// Overhead and profit are part of the work: the owner pays for a piece, not for a shop's books. When a market price
// leaves no line for the work, materials and work are one line.
Bill bill_of(const job::Job& job, const job::PieceOrder& order, const plan::Plan& plan, const plan::PlannedPiece& piece,
             const materials::Offer& offer, Instant date, const Tongue& tongue = {});

// Problems: a number that is missing, money paid below zero, lines that do not add up.
Result<std::string> quote_pdf(const Bill& bill, Paper paper, Instant made_at);
Result<std::string> invoice_pdf(const Bill& bill, Paper paper, Instant made_at);

// The work on a piece in words for its owner, in the order it is done.
std::vector<std::string> work_words(const plan::PlannedPiece& piece, const Tongue& tongue = {});
// Its lead, its wiring, and when it may be used.
std::vector<std::string> owner_cautions(const plan::Plan& plan, const plan::PlannedPiece& piece, const Forms& forms);

}  // namespace tackcloth::sheet
