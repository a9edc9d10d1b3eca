// For this room only: the warnings and bench steps of a tint recipe.
#pragma once

#include "color/tint.h"

namespace tackcloth::color {

void add_words(TintRecipe& recipe, const TintQuestion& question);

}  // namespace tackcloth::color
