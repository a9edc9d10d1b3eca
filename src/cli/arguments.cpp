#include "cli/arguments.h"

#include <cctype>

namespace tackcloth::cli {

Problem about(const char* option, Problem problem) {
  problem.what = std::string(option) + ": " + problem.what;
  return problem;
}

void take(const char* option, const std::string& text, Result<double> (*parse)(std::string_view), double& value,
          std::vector<Problem>& problems) {
  if (text.empty()) return;
  const auto read = parse(text);
  if (read)
    value = *read;
  else
    problems.push_back(about(option, read.error()));
}

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

const catalog::Product* find_product(const catalog::Catalog& catalog, const std::string& name) {
  if (const auto* product = catalog.product(name)) return product;
  for (const auto& product : catalog.products)
    if (lower(product.name) == lower(name)) return &product;
  return nullptr;
}

const catalog::Species* find_species(const catalog::Catalog& catalog, const std::string& name) {
  if (const auto* species = catalog.find_species(name)) return species;
  for (const auto& species : catalog.species)
    if (lower(species.name) == lower(name)) return &species;
  return nullptr;
}

Problem no_such_product(const catalog::Catalog& catalog, const std::string& name) {
  std::string some;
  for (const auto& product : catalog.products)
    if (catalog::leaves_film(product)) some += (some.empty() ? "" : ", ") + product.id;
  return {"", 0, 0, "--product: there is no product '" + name + "'", "one of " + some, "use the id of the catalogue"};
}

Problem no_such_species(const catalog::Catalog& catalog, const std::string& name) {
  std::string all;
  for (const auto& species : catalog.species) all += (all.empty() ? "" : ", ") + species.id;
  return {"", 0, 0, "--species: there is no wood '" + name + "'", "one of " + all, "use the id of the catalogue"};
}

}  // namespace tackcloth::cli
