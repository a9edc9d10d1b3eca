// The last pages: what to buy for all pieces, and the cautions that hold for the whole shop.
#pragma once

#include "sheet/parts.h"

namespace tackcloth::sheet {

// Blocks that fit on two pages of this height; what is left out is said.
std::vector<Block> shopping_page(const Canvas& canvas, const plan::Plan& plan, double width, double height);

}  // namespace tackcloth::sheet
