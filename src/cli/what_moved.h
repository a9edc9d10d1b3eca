// What an entry or a pin has done to the dates.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "plan/plan.h"

namespace tackcloth::cli {

// The finish of every piece before and after, hours later positive.
nlohmann::ordered_json what_moved(const plan::Plan& before, const plan::Plan& after);
std::string moved_text(const nlohmann::ordered_json& moved);

}  // namespace tackcloth::cli
