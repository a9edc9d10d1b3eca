#include "cli/query_values.h"

#include <algorithm>

namespace tackcloth::cli {
namespace {

int hex(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::string decoded(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool escape = text[i] == '%' && i + 2 < text.size() && hex(text[i + 1]) >= 0 && hex(text[i + 2]) >= 0;
    out += escape ? static_cast<char>(hex(text[i + 1]) * 16 + hex(text[i + 2])) : text[i];
    if (escape) i += 2;
  }
  return out;
}

}  // namespace

Result<std::map<std::string, std::string>> query_values(const std::string& query,
                                                        const std::vector<std::string>& known) {
  std::map<std::string, std::string> values;
  for (std::size_t at = 0; at < query.size();) {
    const std::size_t end = std::min(query.find('&', at), query.size());
    const std::string one = query.substr(at, end - at);
    at = end + 1;
    const std::size_t equals = std::min(one.find('='), one.size());
    const std::string name = one.substr(0, equals);
    if (std::find(known.begin(), known.end(), name) == known.end()) {
      std::string names;
      for (const std::string& word : known) names += (names.empty() ? "" : ", ") + word;
      return tl::unexpected(
          Problem{"", 0, 0, "'" + one.substr(0, 60) + "' is not understood", "one of: " + names, "leave it out"});
    }
    values[name] = equals < one.size() ? decoded(one.substr(equals + 1)) : "";
  }
  return values;
}

}  // namespace tackcloth::cli
