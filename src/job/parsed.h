// A job's text as the parser's own table, for steps that are laid over it. For .cpp files of this room only.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string_view>

#include "reading/toml.h"
#include "units/result.h"

namespace tackcloth::job {

Result<toml::table> parsed(std::string_view text);
// A JSON object as a table; a null is left out, which is what it means in a job.
Result<toml::table> table_of(const nlohmann::json& body);

}  // namespace tackcloth::job
