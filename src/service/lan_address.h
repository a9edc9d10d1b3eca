// Which address of this machine the local network's door may be at.
#pragma once

#include <string>

#include "units/result.h"

namespace tackcloth::service {

// The address as it is usually written; a Problem unless it is one of a local network (RFC 1918, RFC 3927, RFC 4193) or
// of this machine itself (127.0.0.0/8, for trying it out). There is no TLS, so it must not be open to the world.
Result<std::string> local_address(const std::string& text);

// The one such address this machine has on a network; a Problem that lists them when there are several.
Result<std::string> own_local_address();

}  // namespace tackcloth::service
