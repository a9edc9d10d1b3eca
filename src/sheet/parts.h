// The parts of a sheet as blocks of a given width.
#pragma once

#include "sheet/canvas.h"
#include "sheet/flow.h"
#include "sheet/rows.h"
#include "sheet/safety.h"

namespace tackcloth::sheet {

enum class Room { roomy, close, tight };  // how much a schedule row may take

Block gap(double height);
Block paragraph(const Canvas& canvas, const std::vector<Span>& spans, double width, int most_lines = 0,
                double size = kBody);
Block heading(const Canvas& canvas, const std::string& words, double width);

Block do_now(const Canvas& canvas, const plan::PlannedPiece& piece, units::System system, double width);
// At most `most_height`: texts are shortened first, then lines left out and counted.
Block safety_box(const Canvas& canvas, const std::vector<SafetyLine>& lines, double width, double most_height);

// Column heads, then for each day its heading and rows; steps done are summed up in one line. At most `most_rows` rows
// still to do; what is left out is said.
std::vector<Block> schedule_table(const Canvas& canvas, const std::vector<Row>& rows, double width, Room room,
                                  std::size_t most_rows);

}  // namespace tackcloth::sheet
