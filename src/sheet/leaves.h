// Papers made of blocks that run over as many pages as they need.
#pragma once

#include <string>
#include <vector>

#include "sheet/canvas.h"
#include "sheet/flow.h"

namespace tackcloth::sheet {

Size half_of(Paper paper);  // A5 of ISO 216, and Letter cut across

class Leaves {
 public:
  Leaves(Size size, double margin, const std::string& title, const std::string& author, Instant made_at,
         const Tongue& tongue = {});
  const Canvas& canvas() const { return canvas_; }
  double width() const { return size_.width - 2 * margin_; }
  double body() const;  // height for blocks on one page
  bool fits(const std::vector<Block>& blocks, std::size_t pages) const {
    return flow(blocks, std::vector<double>(pages, body())).has_value();
  }
  bool fits_one(const std::vector<Block>& blocks) const { return fits(blocks, 1); }
  // Draws `blocks` on at most `most` pages, with `foot` and the page number below; the bytes.
  Result<std::string> finish(const std::vector<Block>& blocks, const std::string& foot, std::size_t most);

 private:
  Size size_;
  double margin_;
  Canvas canvas_;
};

// Text to the left, amount to the right; a rule above when it is a sum.
Block amount_row(const Canvas& canvas, const std::string& what, const std::string& amount, double width, bool sum);
// "Name ______": for what is not known, to be filled in by hand.
Block line_to_fill_in(const Canvas& canvas, const std::string& label, double width);
std::vector<Block> bullets(const Canvas& canvas, const std::vector<std::string>& lines, double width);

}  // namespace tackcloth::sheet
