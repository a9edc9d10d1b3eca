// The shop's own catalogue, read once.
#pragma once

#include <cstdlib>

#include "catalog/catalog.h"

namespace tackcloth::film::test {

inline const catalog::Catalog& shop_catalog() {
  static const catalog::Catalog catalog = [] {
    auto read = catalog::load_catalog(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
    if (!read) std::abort();  // the catalogue's own tests say why
    return *read;
  }();
  return catalog;
}

}  // namespace tackcloth::film::test
