// A job's text as the parser's own table, for steps that are laid over it. For .cpp files of this room only.
#pragma once

#include <string_view>

#include "reading/toml.h"
#include "units/result.h"

namespace tackcloth::job {

Result<toml::table> parsed(std::string_view text);

}  // namespace tackcloth::job
