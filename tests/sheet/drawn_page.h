// One page of a PDF as poppler sees it: its stroked paths in millimetres from the left top corner of the paper.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "read_back.h"

namespace tackcloth::sheet {

// What a line on paper may miss, in mm.
inline constexpr double kTo = 0.1;

struct At {
  double x = 0, y = 0;
};
double apart(At a, At b);

struct Stroke {
  double width_pt = 0;
  std::vector<std::vector<At>> lines;  // curves in steps of a 64th of a spline
  bool curved = false;
  At low{-1e9, -1e9}, high{1e9, 1e9};  // what it is clipped to
};

class DrawnPage {
 public:
  DrawnPage(const std::string& pdf, int page);
  At paper() const { return paper_; }
  // All strokes of a line width, in points.
  std::vector<Stroke> strokes(double width_pt) const;

 private:
  void read_clips();
  void read_strokes();

  std::string svg_;
  At paper_;
  std::map<std::string, Stroke> clips_;
  std::vector<Stroke> strokes_;
};

}  // namespace tackcloth::sheet
