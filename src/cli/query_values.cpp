#include "cli/query_values.h"

#include <algorithm>

#include "service/http.h"

namespace tackcloth::cli {

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
    const auto value = service::percent_decoded(equals < one.size() ? one.substr(equals + 1) : "");
    if (!value)
      return tl::unexpected(Problem{"", 0, 0, "'" + one.substr(0, 60) + "' is badly encoded",
                                    "%XX with two hexadecimal digits", "write % as %25"});
    values[name] = *value;
  }
  return values;
}

}  // namespace tackcloth::cli
