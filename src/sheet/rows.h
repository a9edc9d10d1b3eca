// Schedule lines as they are worked through at the bench: steps that follow without a wait become one row.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct Row {
  std::string ids;      // "P1-03" or "P1-03 to 05"
  std::string product;  // name, may be empty
  std::string what;     // "Sand P120, P180, P220, with the grain"
  std::string with;     // "Clear varnish, brush, 75 µm wet"
  std::string by_hand;  // how a hand tells that it is ready
  Instant start, end, ready_p50, ready_p90;
  std::optional<Instant> closes;  // the next coat goes on before this
  int people = 1;
  bool rests = false;  // ready later than the work ends
  bool done = false;
  std::vector<plan::Turn> turns;  // when it takes more than one
};

// In order of start. Merged are sanding, dusting and scuffing, or the same work on several zones, when one begins
// within a quarter of an hour of the other's end on the same day and nothing has to dry between.
std::vector<Row> rows_of(const std::vector<plan::PlannedStep>& schedule, units::System system,
                         const Tongue& tongue = {});

// What steps still to do take, by product in order of first use: "Clear varnish: 310 ml on the work" (without loss),
// then the grits.
std::vector<std::string> materials_of(const std::vector<plan::PlannedStep>& schedule, units::System system,
                                      const Tongue& tongue = {});

struct Note {
  std::string ids;  // "P1-03, P1-07"
  std::string text;
};
// Bench notes of steps still to do, each text once.
std::vector<Note> notes_of(const std::vector<plan::PlannedStep>& schedule);

}  // namespace tackcloth::sheet
