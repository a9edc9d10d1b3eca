// cut: parts and cloth panels on a roll.
#pragma once

#include "cli/command.h"

namespace tackcloth::cli {

void add_cut(CLI::App& app, Context& context);

}  // namespace tackcloth::cli
