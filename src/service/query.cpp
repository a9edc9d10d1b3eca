#include "service/query.h"

#include <algorithm>
#include <charconv>
#include <string_view>

namespace tackcloth::service {

std::optional<long long> number_in_query(const std::string& target, const std::string& name) {
  const auto query = target.find('?');
  if (query == std::string::npos) return {};
  for (std::size_t at = query + 1; at < target.size();) {
    const std::size_t end = std::min(target.find('&', at), target.size());
    const std::string_view pair(target.data() + at, end - at);
    if (pair.starts_with(name + "=")) {
      const std::string_view digits = pair.substr(name.size() + 1);
      long long value = 0;
      const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
      if (read.ec == std::errc() && read.ptr == digits.data() + digits.size()) return value;
      return {};
    }
    at = end + 1;
  }
  return {};
}

}  // namespace tackcloth::service
