// The shipped catalogue, loaded once.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>

#include "catalog/catalog.h"

namespace tackcloth::bench {

inline const catalog::Catalog& shop_catalog() {
  static const catalog::Catalog catalog = [] {
    auto read = catalog::load_catalog(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
    if (!read) {
      std::fprintf(stderr, "the catalogue does not load: %s\n", to_text(read.error().front()).c_str());
      std::exit(2);
    }
    return *read;
  }();
  return catalog;
}

}  // namespace tackcloth::bench
