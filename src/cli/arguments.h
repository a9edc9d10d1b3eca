// Values, products and species as typed on the command line.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "catalog/catalog.h"

namespace tackcloth::cli {

// Reads `text` into `value` when it is given; keeps the problem, with the option's name, otherwise.
void take(const char* option, const std::string& text, Result<double> (*parse)(std::string_view), double& value,
          std::vector<Problem>& problems);
Problem about(const char* option, Problem problem);

std::string lower(std::string text);
// By id, or by name without regard to case; nullptr when there is none.
const catalog::Product* find_product(const catalog::Catalog& catalog, const std::string& name);
const catalog::Species* find_species(const catalog::Catalog& catalog, const std::string& name);
// Naming those that leave a film.
Problem no_such_product(const catalog::Catalog& catalog, const std::string& name);
Problem no_such_species(const catalog::Catalog& catalog, const std::string& name);

}  // namespace tackcloth::cli
