#include "catalog/product.h"

#include <algorithm>

#include "catalog/catalog.h"

namespace tackcloth::catalog {
namespace {

template <class T, class Same>
const T* find(const std::vector<T>& all, Same same) {
  const auto it = std::find_if(all.begin(), all.end(), same);
  return it == all.end() ? nullptr : &*it;
}

template <class T>
const T* by_id(const std::vector<T>& all, std::string_view id) {
  return find(all, [id](const T& one) { return one.id == id; });
}

// Coats that another coat is put on. Glue, wood filler and spirits are no coating system.
bool is_coat(Kind kind) {
  switch (kind) {
    case Kind::grain_filler:
    case Kind::stain:
    case Kind::sealer:
    case Kind::primer:
    case Kind::paint:
    case Kind::clear:
    case Kind::oil:
    case Kind::metal_paint:
      return true;
    default:
      return false;
  }
}

}  // namespace

const Application* usual(const Product& product) {
  return product.applications.empty() ? nullptr : &product.applications.front();
}

const Application* find_application(const Product& product, Method method) {
  return find(product.applications, [method](const Application& a) { return a.method == method; });
}

bool leaves_film(const Product& product) {
  return product.kind != Kind::cleaner && product.kind != Kind::degreaser && product.kind != Kind::stripper &&
         product.kind != Kind::consumable;
}

bool is_water_system(const Product& product) { return is_coat(product.kind) && product.carrier == Carrier::water; }

bool is_oil_system(const Product& product) {
  if (!is_coat(product.kind)) return false;
  return product.binder == Binder::oil || product.binder == Binder::alkyd || product.binder == Binder::urethane_oil ||
         product.binder == Binder::hardwax;
}

const Product* Catalog::product(std::string_view id) const { return by_id(products, id); }
const Species* Catalog::find_species(std::string_view id) const { return by_id(species, id); }
const Component* Catalog::component(std::string_view id) const { return by_id(components, id); }
double Catalog::left_in_tool_l(Method method) const {
  const Leaving* leaving = by_id(leavings, to_text(method));
  return leaving ? leaving->litres : 0;
}
double Catalog::left_in_can() const {
  const Leaving* leaving = by_id(leavings, "can");
  return leaving ? leaving->share : 0;
}
const Pace* Catalog::pace(std::string_view id) const { return by_id(paces, id); }

const Abrasive* Catalog::abrasive(int grit) const {
  return find(abrasives, [grit](const Abrasive& a) { return a.grit == grit; });
}

}  // namespace tackcloth::catalog
