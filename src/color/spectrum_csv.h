// Measured reflectances from a file of comma-, semicolon- or tab-separated values.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "color/spectrum.h"
#include "units/result.h"

namespace tackcloth::color {

struct Sample {
  std::string name;  // of the column, or its number
  Spectrum reflectance;
};

// First column wavelength in nm (rising, 200..1200, the visible 420..680 covered, no gap over 20 nm there), every other
// column a reflectance: 0..1, or percent when the head says "%" or "percent" or any value is above 2. An optional head
// line; blank lines and those beginning with # are skipped. Resampled by `resample`. Errors name file, line and column.
Result<std::vector<Sample>> read_reflectances(std::string_view text, const std::string& name);
Result<std::vector<Sample>> read_reflectance_file(const std::string& path);

}  // namespace tackcloth::color
