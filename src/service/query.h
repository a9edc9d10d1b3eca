// Numbers behind the "?" of an address.
#pragma once

#include <optional>
#include <string>

namespace tackcloth::service {

// Nothing when it is not there, or is not a whole number.
std::optional<long long> number_in_query(const std::string& target, const std::string& name);

}  // namespace tackcloth::service
