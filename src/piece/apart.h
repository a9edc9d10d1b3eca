// Taking apart and putting back: what came off in which order, what held it, and what stands in the way of putting it
// back. Knows nothing of dates or chemistry: what the plan says of a part is handed in as words and lengths.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "catalog/finding.h"

namespace tackcloth::piece {

struct Fastening {
  std::string what;  // "screw", "knock-out hinge pin", in the owner's words
  int count = 1;
  std::string size;  // words: "4 x 30, slotted"
};

// A wire or cable that was disconnected at one or both ends.
struct Cable {
  std::string name;      // "Ak1": on its labels
  std::string from, to;  // where each end was
};

// Lists of them are in the order in which things came off.
struct TakenOff {
  std::string id, name;
  std::string part;  // of the piece; empty: not a part that is finished
  std::vector<Fastening> held_by;
  std::string bag;  // "A3"
  std::vector<Cable> cables;
  std::string photo;                   // a file, or "stored:ID": from before it came off
  std::vector<std::string> under;      // ids of what had to come off before it could be reached, and covers it
  std::vector<std::string> through;    // parts through whose opening it goes in
  std::string fits;                    // the part whose opening or joint it fits into
  std::optional<double> clearance_um;  // gap to `fits` on one side, measured before any coat
  std::vector<std::string> ticked;     // "on", "bag", and for each end of a cable "Ak1/from", "Ak1/to"
};

// What may be ticked for it.
std::vector<std::string> tick_words(const TakenOff& one);

// What the plan knows of a part of the piece.
struct PartState {
  std::string part;
  double build_um = 0;       // dry, of all coats planned or on, where they are thickest
  std::string not_ready;     // words: the coat that is not on yet, or that may not be touched yet; empty: none
  std::string cloth_step;    // words: the step that glues cloth on it; empty: none
  bool cloth_is_on = false;  // that step is done
};

// One thing to put back. `findings` name its id as their zone; a must-not closes it (`may` is false).
struct BackOn {
  std::string id;
  bool on = false, may = false;
  std::vector<catalog::Finding> findings;
};

// All of `apart` in the order in which it should go back: the last off first, except where something would cover what
// still has to go on. Parts that `parts` does not name have no coats.
std::vector<BackOn> way_back(const std::vector<TakenOff>& apart, const std::vector<PartState>& parts);

// What holds for all electric work; shown whenever there are wires.
catalog::Finding mains_caution();

// Letters of the bags, one for each piece: that of its first bag, else the first one free. A to Z, AA to ZZ.
std::vector<std::string> bag_letters(const std::vector<std::vector<TakenOff>>& pieces);
// The bag or cable after the last one that was named: "A4", "Ak2".
std::string next_bag(const std::string& letter, const std::vector<TakenOff>& apart);
std::string next_cable(const std::string& letter, const std::vector<TakenOff>& apart);
bool is_bag_name(std::string_view name);    // A1 to ZZ999
bool is_cable_name(std::string_view name);  // Ak1 to ZZk999

}  // namespace tackcloth::piece
