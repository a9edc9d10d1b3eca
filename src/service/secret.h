// What pairing rests on: the operating system's random numbers, SHA-256 and a comparison that takes the same time
// whatever differs.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth::service {

// From getrandom(2), which waits until the system has gathered enough.
Result<std::string> random_bytes(std::size_t count);
std::string hex_of(std::string_view bytes);
// FIPS 180-4, as 64 hexadecimal digits.
std::string sha256_hex(std::string_view bytes);
bool same_secret(std::string_view one, std::string_view other);

}  // namespace tackcloth::service
