// Grain told from shadow: under opaque paint the figure of the wood goes, the light on it stays.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "picture/recolor.h"

namespace tackcloth::picture {

// Fills log_weights, log_albedo and the cells' slope, offset and ceiling of `zone`, whose light and albedo are set.
// `light`: the shrunk photo in linear light; `in`: its pixels wholly of the zone.
//
// Shading multiplies all channels alike, so in log light it adds the same to each; grain does not. Of all weighted sums
// of the log channels whose weights add up to 1 - each keeps shading whole - the one with the least fine detail is
// taken: w = C^-1 1 / (1' C^-1 1), C the covariance of the detail (the minimum-variance unbiased combination, Aitken
// 1935). What grain is left is smoothed by a guided filter (He, Sun and Tang 2013) whose gain is the share of the local
// variance that is not grain (Lee 1980): detail as weak as the grain goes, stronger edges stay.
void set_grain(Zone& zone, const std::vector<std::array<float, 3>>& light, const std::vector<std::size_t>& in);

}  // namespace tackcloth::picture
