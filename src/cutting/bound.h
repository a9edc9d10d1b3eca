// Heights that no layout can go below.
#pragma once

#include "cutting/boxes.h"

namespace tackcloth::cutting {

// Of the boxes, gap counted; the strip's height is this less one gap.
Length bound_of(const Boxes& boxes);

}  // namespace tackcloth::cutting
