// The words of the job file for each enumeration, in the order of the enumeration.
#pragma once

#include <string>
#include <vector>

#include "piece/piece.h"

namespace tackcloth::piece {

const std::vector<std::string>& part_kind_words();
const std::vector<std::string>& material_words();
const std::vector<std::string>& existing_words();
const std::vector<std::string>& treatment_words();
const std::vector<std::string>& zone_form_words();

}  // namespace tackcloth::piece
