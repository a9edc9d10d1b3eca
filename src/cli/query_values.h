// What stands behind the "?" of an address, as names and values (RFC 3986 percent-encoding, "+" as it is written).
#pragma once

#include <map>
#include <string>
#include <vector>

#include "units/result.h"

namespace tackcloth::cli {

// A Problem for a name that is not in `known`.
Result<std::map<std::string, std::string>> query_values(const std::string& query,
                                                        const std::vector<std::string>& known);

}  // namespace tackcloth::cli
