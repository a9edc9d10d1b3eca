// Amounts that are not sure, and how much to buy for them.
#pragma once

namespace tackcloth::materials {

// 0.9 quantile of the log-normal with this mean and variance; nothing for a mean that is not above zero.
double quantile_90(double mean, double variance);

}  // namespace tackcloth::materials
