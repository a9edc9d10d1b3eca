// The parts of a sheet as blocks of a given width.
#pragma once

#include "sheet/canvas.h"
#include "sheet/flow.h"
#include "sheet/rows.h"
#include "sheet/safety.h"

namespace tackcloth::sheet {

// How much a schedule row may take. From `tight` on the column of hand tests is a list of its own (hand_tests), because
// the same test holds for many rows.
enum class Room { roomy, close, tight, tightest };

Block gap(double height);
Block paragraph(const Canvas& canvas, const std::vector<Span>& spans, double width, int most_lines = 0,
                double size = kBody);
Block heading(const Canvas& canvas, const std::string& words, double width);

Block do_now(const Canvas& canvas, const plan::PlannedPiece& piece, units::System system, double width);
// At most `most_height`: texts are shortened first, then lines left out and counted.
Block safety_box(const Canvas& canvas, const std::vector<SafetyLine>& lines, double width, double most_height);

// How to tell by hand, each test once: "Clear varnish: a fingertip leaves no mark".
Block hand_tests(const Canvas& canvas, const std::vector<Row>& rows, double width, int most_lines);

// Column heads, then for each day its heading and rows; steps done are summed up in one line. At most `most_rows` rows
// still to do; what is left out is said.
std::vector<Block> schedule_table(const Canvas& canvas, const std::vector<Row>& rows, double width, Room room,
                                  std::size_t most_rows);

}  // namespace tackcloth::sheet
