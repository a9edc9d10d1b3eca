// Labels for bags and cables, with a code (ISO/IEC 18004, QR) that opens the thing on the page.
#pragma once

#include <string>
#include <vector>

#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct Label {
  std::string name;   // in large letters: "A3", "Ak1"
  std::string end;    // of a cable: where this end goes; empty for a bag or a spare one
  std::string about;  // what it holds, or what it belongs to
  std::string link;   // what the code says
};

struct LabelSheet {
  std::string piece;  // name, at the head
  std::string shop;
  std::vector<Label> labels;
};

// Three columns of labels 24 mm high to be cut out along hairlines; as many pages as it takes, 400 labels at most.
Result<std::string> labels_pdf(const LabelSheet& sheet, Paper paper, Instant made_at,
                               const Tongue& tongue = {});  // the bytes

}  // namespace tackcloth::sheet
