// From a wish to the films an order has to have.
#pragma once

#include "finish/search.h"

namespace tackcloth::finish {

struct Asked {
  Goal goal;
  std::vector<catalog::Finding> findings;  // products that do not exist or do not fit
  bool by_name = false;                    // some product was asked for by id
};
// `allow_swaps`: products asked for by name may be replaced, at a price to the search.
Asked asked(const Scene& scene, const Wish& wish, bool allow_swaps);

}  // namespace tackcloth::finish
