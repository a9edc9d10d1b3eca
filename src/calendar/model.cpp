#include "calendar/model.h"

#include <algorithm>

namespace tackcloth::calendar {

Tick TimeFunction::operator()(Tick when) const {
  if (at.empty()) return value.empty() ? 0 : value.front();
  const auto after = std::upper_bound(at.begin(), at.end(), when);
  const auto index = after == at.begin() ? std::size_t{0} : static_cast<std::size_t>(after - at.begin() - 1);
  return value[std::min(index, value.size() - 1)];
}

}  // namespace tackcloth::calendar
