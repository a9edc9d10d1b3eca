// [[piece.taken_off]]: what came off the piece, in order.
#include <algorithm>

#include "job/read.h"

namespace tackcloth::job {

namespace {

constexpr std::size_t kMostTakenOff = 300, kMostOfOne = 40;

template <class List>
bool too_many(reading::Table& table, std::string_view key, const List& list) {
  if (list.size() <= kMostOfOne) return false;
  table.problem(key, "there are more than 40 of these", "at most 40", "write it as two things that came off");
  return true;
}

piece::Fastening read_fastening(reading::Table table) {
  piece::Fastening one;
  one.what = read_line(table, "what", "");
  if (one.what.empty()) table.problem("what", "it is not said what held it", "a word, as \"screw\"", "add what");
  one.count = static_cast<int>(table.integer("count", 1, 1000).value_or(1));
  one.size = read_line(table, "size", "");
  table.finish();
  return one;
}

piece::Cable read_cable(reading::Table table, std::vector<std::string>& names) {
  piece::Cable cable;
  cable.name = table.need_text("name");
  if (!cable.name.empty() && !piece::is_cable_name(cable.name))
    table.problem("name", "'" + cable.name + "' is no name of a cable", "the letter of the piece, k and a number: Ak1",
                  "take the one on its label");
  else if (std::find(names.begin(), names.end(), cable.name) != names.end())
    table.problem("name", "the cable '" + cable.name + "' is there twice", "a name of its own", "take the next number");
  names.push_back(cable.name);
  cable.from = read_line(table, "from", "");
  cable.to = read_line(table, "to", "");
  table.finish();
  return cable;
}

}  // namespace

void read_apart(reading::Table& table, PieceOrder& order) {
  std::vector<std::string> parts, ids, cables;
  for (const piece::Part& part : order.piece.parts) parts.push_back(part.id);
  auto rows = table.tables("taken_off");
  if (rows.size() > kMostTakenOff) {
    table.problem("taken_off", "more than 300 things came off this piece", "at most 300", "write fewer");
    return;
  }
  for (reading::Table& row : rows) {
    piece::TakenOff one;
    one.id = read_id(row, "taken_off", ids);
    one.name = read_line(row, "name", one.id);
    one.part = row.text("part").value_or("");
    check_name(row, "part", one.part, "part of this piece", parts);
    for (const reading::Table& held : row.tables("held_by")) one.held_by.push_back(read_fastening(held));
    too_many(row, "held_by", one.held_by);
    one.bag = row.text("bag").value_or("");
    if (!one.bag.empty() && !piece::is_bag_name(one.bag))
      row.problem("bag", "'" + one.bag + "' is no name of a bag", "the letter of the piece and a number: A3",
                  "take the one on its label");
    for (const reading::Table& cable : row.tables("cable")) one.cables.push_back(read_cable(cable, cables));
    too_many(row, "cable", one.cables);
    one.photo = read_line(row, "photo", "");
    one.under = row.texts("under");
    too_many(row, "under", one.under);
    one.through = row.texts("through");
    for (const std::string& part : one.through) check_name(row, "through", part, "part of this piece", parts);
    too_many(row, "through", one.through);
    one.fits = row.text("fits").value_or("");
    check_name(row, "fits", one.fits, "part of this piece", parts);
    if (const auto mm = row.quantity("clearance", units::parse_length_mm, 0, 50, "a gap from 0 to 50 mm"))
      one.clearance_um = *mm * 1000;
    one.ticked = row.texts("ticked");
    for (const std::string& word : one.ticked) check_name(row, "ticked", word, "thing to tick", tick_words(one));
    row.finish();
    order.taken_off.push_back(std::move(one));
  }
  for (std::size_t k = 0; k < order.taken_off.size(); ++k)
    for (const std::string& id : order.taken_off[k].under)
      check_name(rows[k], "under", id, "thing taken off this piece", ids);
}

}  // namespace tackcloth::job
