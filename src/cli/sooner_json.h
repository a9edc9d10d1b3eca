// What would bring dates forward, as JSON for the command line and the page.
#pragma once

#include <string>

#include "plan/sooner.h"

namespace tackcloth::cli {

// {"tried": n, "hurried": [{piece, finish_before, finish_after}],
// "helps": [{kind, what, heed, late_hours_less, finish_hours_less, piece_hours_less, pieces: [...]}]}
std::string to_json(const plan::Helps& helps);

}  // namespace tackcloth::cli
