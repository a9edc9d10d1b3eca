// Problems as the commands make them.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "units/result.h"

namespace tackcloth::cli {

inline Problem problem_of(std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
}
inline tl::unexpected<std::vector<Problem>> one(Problem problem) {
  return tl::unexpected(std::vector<Problem>{std::move(problem)});
}

}  // namespace tackcloth::cli
