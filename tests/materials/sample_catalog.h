// A small catalogue made by hand, so that these tests need no data files.
#pragma once

#include "materials/materials.h"

namespace tackcloth::materials {

inline catalog::Product product(const std::string& id, std::vector<catalog::Pack> packs,
                                const std::string& unit = "l") {
  catalog::Product made;
  made.id = id;
  made.name = "Invented " + id;
  made.unit = unit;
  made.packs = std::move(packs);
  return made;
}

inline catalog::Catalog sample_catalog() {
  catalog::Catalog made;
  made.products.push_back(product("varnish", {{0.25, {900}}, {0.75, {1950}}, {2.5, {5200}}}));
  made.products.back().shelf_life_months = 12;
  made.products.push_back(product("tape", {{50, {450}}}, "m"));
  made.products.push_back(product("rare", {}));
  made.products.push_back(product("gift", {{1, {0}}}));
  catalog::Abrasive sheet;
  sheet.grit = 120;
  sheet.m2_per_sheet = 0.4;
  sheet.price_per_sheet = {110};
  made.abrasives.push_back(sheet);
  return made;
}

}  // namespace tackcloth::materials
