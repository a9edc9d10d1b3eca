// The standard normal distribution, as far as several rooms need it.
#pragma once

namespace tackcloth {

inline constexpr double kNormal90 = 1.2815515655446004;  // its 0.9 quantile (a mathematical constant)

}  // namespace tackcloth
