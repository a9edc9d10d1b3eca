// Planned against told, and the year, as JSON: what the commands print and the page is given.
#pragma once

#include <nlohmann/json.hpp>

#include "plan/year.h"

namespace tackcloth::cli {

nlohmann::ordered_json actual_json(const plan::PieceActual& piece);
nlohmann::ordered_json year_json(const plan::Year& year);

}  // namespace tackcloth::cli
