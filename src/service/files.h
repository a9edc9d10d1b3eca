// The built page, straight from its directory.
#pragma once

#include "service/http.h"

namespace tackcloth::service {

// `path` is decoded and begins with '/'. Nothing outside `root` is ever served, by "..", link or otherwise.
Response serve_file(const std::string& root, const std::string& path, const Request& request);

}  // namespace tackcloth::service
