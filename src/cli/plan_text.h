// The plan as text for a terminal.
#pragma once

#include <string>

#include "plan/plan.h"

namespace tackcloth::cli {

// Cautions first, then each piece day by day, then what to buy and the price.
std::string plan_text_for_bench(const plan::Plan& plan);
std::string findings_text(const plan::Plan& plan);
// What the log taught about drying, and how far each promise moved for it; empty when nothing.
std::string taught_text(const plan::Plan& plan);

}  // namespace tackcloth::cli
