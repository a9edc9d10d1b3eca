// Pictures on a page.
#pragma once

#include "picture/image.h"
#include "sheet/canvas.h"

namespace tackcloth::sheet {

// A picture as a page needs it: no finer than it is printed, and for a PDF as the JPEG that goes into it.
struct PagePicture {
  picture::Image image;
  std::string jpeg;  // empty: the pixels themselves
};
// For a place of that size. Of one canvas several may be made at a time.
PagePicture picture_for(const Canvas& canvas, const picture::Image& image, double width, double height);

// As large as fits, standing on the bottom of its place, at the left. Returns the width it takes.
double draw_picture(const Canvas& canvas, const PagePicture& picture, double x, double y, double width, double height);

}  // namespace tackcloth::sheet
