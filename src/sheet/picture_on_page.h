// Pictures on a page.
#pragma once

#include "picture/image.h"
#include "sheet/canvas.h"

namespace tackcloth::sheet {

// As large as fits, standing on the bottom of its place, at the left. Returns the width it takes.
double draw_picture(const Canvas& canvas, const picture::Image& image, double x, double y, double width, double height);

}  // namespace tackcloth::sheet
