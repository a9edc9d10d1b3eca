// Looks of a piece side by side on one sheet, for the owner to choose from.
#pragma once

#include <string>
#include <vector>

#include "look/look.h"
#include "picture/image.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct Card {
  look::Board board;
  picture::Image picture;  // may be empty
};

struct BoardsText {
  std::string piece, owner, shop, currency;
  std::string about_pictures;  // how far to trust them; goes under the title
};

enum class Sheet { pdf, png };

// One page: up to job::kMostLooks cards, each with its picture, colours, cost, days and bench hours, and what forbids
// it. `wanted` says which kind of bytes come back; the PNG is about 2,400 pixels wide.
Result<std::string> boards_sheet(const std::vector<Card>& cards, const BoardsText& text, Paper paper, Sheet wanted,
                                 Instant made_at, const Tongue& tongue = {});

}  // namespace tackcloth::sheet
