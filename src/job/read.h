// The parts of the job file's reader. Mistakes go to the document; a value that could not be read is left as it was.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "reading/table.h"

namespace tackcloth::job {

// What names may refer to.
struct Names {
  const catalog::Catalog* catalog = nullptr;
  std::vector<std::string> products, species, rooms;
};

Shop read_shop(reading::Table table);
ShelfItem read_shelf_item(reading::Table table, const Names& names);
PieceOrder read_piece(reading::Table table, const Names& names);
// The sizes of a zone, by its form. What needs the face (bands, stripes, borders, symmetry) is left to piece::measure.
void read_geometry(reading::Table& table, piece::Zone& zone);

// [[piece.photo]] and [[piece.look]]; the parts must have been read.
void read_looks(reading::Table& table, const Names& names, PieceOrder& order);
// [[piece.taken_off]]; the parts must have been read.
void read_apart(reading::Table& table, PieceOrder& order);
// [[cut]]; the pieces must have been read and measured.
void read_cuts(reading::Table& root, reading::Document& document, Job& job);
// A colour word is anything; one that is written as CSS Color 4 writes colours has to be right.
std::string read_color(reading::Table& table, std::string_view key);

// Small letters, digits, "-" and "_", unique in `seen`; empty when missing.
std::string read_id(reading::Table& table, const std::string& what, std::vector<std::string>& seen);
// A line of text for people: no control characters, at most 200 bytes.
std::string read_line(reading::Table& table, std::string_view key, std::string otherwise);
// Lines of text for people, each as read_line; at most `most`.
std::vector<std::string> read_lines(reading::Table& table, std::string_view key, std::size_t most);
// Money of at least zero, as "35.00".
std::optional<Money> read_money(reading::Table& table, std::string_view key);
std::vector<materials::Fee> read_waste_fees(reading::Table& table);
std::vector<materials::Fee> read_bought(reading::Table& table);
// What stands on quotes and invoices; units must have been read.
void read_papers(reading::Table& table, Shop& shop);
// Refuses a word that is not in `known`, with the nearest one. An empty word is let through.
void check_name(reading::Table& table, std::string_view key, const std::string& word, const std::string& what,
                const std::vector<std::string>& known);
// Sizes that belong to one word, out of all there are; the others are refused, as they would be read by nobody.
void refuse_strangers(reading::Table& table, const std::vector<std::string>& all, const std::vector<std::string>& own,
                      const std::string& whose);
// A length that may be zero, or must not.
constexpr double kLeastMm = 0.1;  // a measure below it is a slip of the pen
std::optional<double> read_length(reading::Table& table, std::string_view key, double low_mm);

}  // namespace tackcloth::job
