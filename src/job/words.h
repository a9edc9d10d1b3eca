// Keys that belong to one kind of part or form of zone only, and the steps that may need two people.
#pragma once

#include <string>
#include <vector>

#include "piece/piece.h"

namespace tackcloth::job {

const std::vector<std::string>& size_keys();  // of all kinds of parts
std::vector<std::string> size_keys(piece::PartKind kind);
const std::vector<std::string>& geometry_keys();  // of all forms of zones
std::vector<std::string> geometry_keys(piece::ZoneForm form);
const std::vector<std::string>& mirror_words();  // shape::Mirror from left_right on
const std::vector<std::string>& two_person_words();
const std::vector<std::string>& number_words();  // of Numbers
const std::vector<std::string>& date_words();    // of Dates

}  // namespace tackcloth::job
