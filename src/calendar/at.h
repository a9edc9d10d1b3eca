// An activity's number as an index.
#pragma once

#include <cstddef>

namespace tackcloth::calendar {

constexpr std::size_t at(int number) { return static_cast<std::size_t>(number); }

}  // namespace tackcloth::calendar
