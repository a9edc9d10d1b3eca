// What changes from the page are held to, and how they are refused.
#pragma once

#include <cstddef>
#include <string>
#include <utility>

#include "units/result.h"

namespace tackcloth::job {

constexpr std::size_t kLongestChange = 16384;  // bytes
constexpr std::size_t kMostKeys = 40;          // of one change

inline tl::unexpected<Problem> refuse(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

}  // namespace tackcloth::job
