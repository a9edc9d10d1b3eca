// Reads one entry of each data file. Mistakes go to the table's document, with line and column.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "reading/table.h"

namespace tackcloth::catalog {

Component read_component(reading::Table table);
Species read_species(reading::Table table);
Abrasive read_abrasive(reading::Table table);
Pace read_pace(reading::Table table);
Leaving read_leaving(reading::Table table);
// `components` must be read before: volatiles refer to them, and their densities close the volumes.
Product read_product(reading::Table table, const std::vector<Component>& components);

// Shared by the above.
std::string read_id(reading::Table& table);
std::map<std::string, Mark> read_marks(reading::Table& table, const std::string& who,
                                       const std::vector<std::pair<std::string, std::string>>& values);
Money read_price(reading::Table& table, std::string_view key);

}  // namespace tackcloth::catalog
