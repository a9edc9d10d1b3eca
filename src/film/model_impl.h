// What a model keeps: every product of the catalogue, made ready and anchored to its label.
#pragma once

#include <unordered_map>

#include "film/march.h"

namespace tackcloth::film {

// Sets the thresholds of a recipe: the clock at the label's hours, at label conditions and thickness.
void anchor(Recipe& recipe);
// Mean and spread of the log time of a product, with what the bench has taught.
struct Spread {
  double mean_log = 0, sigma_log = 0;
};
Spread spread_of(const catalog::Product& product, const Calibration& calibration);
// Empty when the coat can be predicted; else why not.
std::string unusable(const Coat& coat, const climate::ClimateSeries& air);

struct Model::Impl {
  const catalog::Catalog* catalog = nullptr;
  std::unordered_map<const catalog::Product*, Recipe> recipes;

  // A product that is not the catalogue's own is made ready on the spot, into `local`.
  const Recipe& recipe(const catalog::Product& product, Recipe& local) const;
};

}  // namespace tackcloth::film
