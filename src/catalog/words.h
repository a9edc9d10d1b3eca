// The words of the data files for each enumeration, in the order of the enumeration.
#pragma once

#include <string>
#include <vector>

namespace tackcloth::catalog {

const std::vector<std::string>& kind_words();
const std::vector<std::string>& binder_words();
const std::vector<std::string>& carrier_words();
const std::vector<std::string>& cure_words();
const std::vector<std::string>& method_words();

}  // namespace tackcloth::catalog
