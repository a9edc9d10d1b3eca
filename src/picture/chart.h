// A grey card or a chart of 24 patches in the picture: what the camera made of known colours, and the matrix that
// undoes it.
#pragma once

#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "color/space.h"
#include "picture/perspective.h"

namespace tackcloth::picture {

struct Calibration {
  std::array<double, 9> matrix{1, 0, 0, 0, 1, 0, 0, 0, 1};  // linear sRGB as photographed -> as it is, row by row
  int patches = 0;
  double mean_de00 = 0, worst_de00 = 0;  // left after the correction; of a grey card: nothing is known, 0
  double before_mean_de00 = 0;           // of the photo as it is, its exposure matched
  std::vector<std::string> warnings;
};

// 24 lines of L,a,b (D50), row by row of the chart (4 rows of 6); lines that begin with # or a letter are skipped. The
// maker's table or one's own measurement: none is built in.
Result<std::vector<color::Lab>> read_chart(const std::filesystem::path& path);

// The chart's four outer corners in the photo, in order from the corner of the first patch. White balance and exposure
// from the 3 x 3 matrix of least squares over the patches, each weighted by 1 / (its luminance + 0.05) so that dark
// ones count. A Problem when patches are not plain (the corners miss the chart), overexposed, or in the wrong order.
// `left_out`: patches (1 to 24) known to be covered; six at most, with the overexposed ones.
Result<Calibration> fit_chart(const Image& photo, const Corners& corners, const std::vector<color::Lab>& reference,
                              const std::vector<int>& left_out = {});
// Without a table: one factor a channel from the last row, taken to be neutral (common practice, no source); the
// luminance stays. `mean_de00` is how far these patches are from neutral afterwards.
Result<Calibration> fit_neutral_row(const Image& photo, const Corners& corners, const std::vector<int>& left_out = {});
// A grey card of the given reflectance (18 % is customary; common practice, no source) around a tapped place: one
// factor a channel. Colours are not checked by it: how far to trust it is said in the warnings.
Result<Calibration> fit_grey(const Image& photo, shape::Point place, double reflectance = 0.18);

// The photo in the colours it would have under D65 with the exposure right.
Image corrected(const Image& photo, const Calibration& calibration);

}  // namespace tackcloth::picture
