#include "finish/goal.h"

#include <algorithm>

#include "reading/table.h"

namespace tackcloth::finish {

using catalog::Binder;
using catalog::Kind;
using catalog::Product;
using piece::Material;
using piece::Treatment;

namespace {

bool by_hand(const Product& product) {
  const auto* application = application_of(product);
  return application != nullptr && application->method != catalog::Method::spray_gun &&
         application->method != catalog::Method::aerosol;
}

template <class Want>
std::vector<int> all(const Scene& scene, Want want) {
  std::vector<int> out;
  const auto& products = scene.catalog->products;
  for (std::size_t i = 0; i < products.size(); ++i) {
    if (want(products[i])) out.push_back(static_cast<int>(i));
  }
  return out;
}

std::vector<int> clears(const Scene& scene) {
  const bool metal = scene.from.material == Material::metal;
  return all(scene, [&](const Product& p) {
    if (p.kind == Kind::sealer && p.binder == Binder::shellac_dewaxed) return scene.from.interior;
    return p.kind == Kind::clear && (metal ? !by_hand(p) : by_hand(p));
  });
}

std::vector<int> for_treatment(const Scene& scene, Treatment treatment) {
  switch (treatment) {
    case Treatment::clear:
    case Treatment::stain_and_clear:
      return clears(scene);
    case Treatment::paint:
    case Treatment::paint_inside:
      // Paints that need a topcoat to last are for who asks for them by name.
      return all(scene, [](const Product& p) {
        const bool soft = p.binder == Binder::chalk || p.binder == Binder::mineral || p.binder == Binder::casein;
        return p.kind == Kind::paint && by_hand(p) && !soft;
      });
    case Treatment::metal_spray:
      return all(scene, [](const Product& p) { return p.kind == Kind::metal_paint; });
    case Treatment::oil:
      return all(scene, [](const Product& p) { return p.kind == Kind::oil; });
    case Treatment::wax:
      return all(scene, [](const Product& p) { return p.kind == Kind::wax; });
    case Treatment::fabric:
      return all(scene, [](const Product& p) { return p.kind == Kind::adhesive && p.binder == Binder::contact; });
    default:
      return {};
  }
}

bool fits(const Product& product, Treatment treatment) {
  switch (treatment) {
    case Treatment::clear:
      return product.kind == Kind::clear || product.kind == Kind::sealer || product.kind == Kind::oil ||
             product.kind == Kind::wax;
    case Treatment::stain_and_clear:
      return product.kind == Kind::clear || product.kind == Kind::sealer || product.kind == Kind::stain ||
             product.kind == Kind::oil;
    case Treatment::paint:
    case Treatment::paint_inside:
      return product.kind == Kind::paint || product.kind == Kind::metal_paint;
    case Treatment::metal_spray:
      return product.kind == Kind::metal_paint || product.kind == Kind::clear;
    case Treatment::oil:
      return product.kind == Kind::oil;
    case Treatment::wax:
      return product.kind == Kind::wax;
    case Treatment::fabric:
      return product.kind == Kind::adhesive;
    default:
      return true;
  }
}

Layer topcoat(const Scene& scene) {
  Layer layer;
  layer.optional = true;
  layer.candidates =
      all(scene, [](const Product& p) { return (p.kind == Kind::clear && by_hand(p)) || p.kind == Kind::wax; });
  return layer;
}

catalog::Finding no_such(const Scene& scene, const std::string& id) {
  std::vector<std::string> ids;
  for (const auto& product : scene.catalog->products) ids.push_back(product.id);
  const auto near = reading::nearest(id, ids);
  return {"unknown-product",
          catalog::Severity::must_not,
          "'" + id + "' is not in the catalogue.",
          near ? "Did you mean '" + *near + "'?" : "Use a product id of the catalogue.",
          "docs/catalog.md",
          {},
          {}};
}

int index_of(const Scene& scene, const std::string& id) {
  const auto& products = scene.catalog->products;
  for (std::size_t i = 0; i < products.size(); ++i) {
    if (products[i].id == id) return static_cast<int>(i);
  }
  return -1;
}

std::vector<int> swaps_for(const Scene& scene, int index) {
  const auto& product = scene.catalog->products[static_cast<std::size_t>(index)];
  return all(scene, [&](const Product& p) {
    if (&p == &product) return false;
    if (is_shellac(p) && is_shellac(product)) return true;
    const bool sprayed = !by_hand(p) && by_hand(product);
    return p.kind == product.kind && !sprayed && primes_metal(p) == primes_metal(product);
  });
}

bool is_colour(const Scene& scene, const Layer& layer) {
  return std::any_of(layer.candidates.begin(), layer.candidates.end(), [&](int index) {
    const Kind kind = scene.catalog->products[static_cast<std::size_t>(index)].kind;
    return kind == Kind::stain || kind == Kind::paint || kind == Kind::metal_paint;
  });
}

void whole_build_up(const Scene& scene, const Wish& wish, bool allow_swaps, Asked& out) {
  for (const auto& id : wish.wanted) {
    const int index = index_of(scene, id);
    if (index < 0) {
      out.findings.push_back(no_such(scene, id));
      continue;
    }
    if (scene.catalog->products[static_cast<std::size_t>(index)].kind == Kind::consumable) continue;
    auto& layers = out.goal.layers;
    if (!layers.empty() && layers.back().candidates.front() == index) {
      layers.back().coats = std::max(1, layers.back().coats) + 1;  // named twice: so many coats
      continue;
    }
    Layer layer;
    layer.candidates = {index};
    if (allow_swaps) layer.swaps = swaps_for(scene, index);
    layers.push_back(std::move(layer));
  }
  if (out.goal.layers.empty()) return;
  const int last = out.goal.layers.back().candidates.front();
  if (wish.coats > 0) out.goal.layers.back().coats = wish.coats;
  if (scene.catalog->products[static_cast<std::size_t>(last)].kind == Kind::paint) {
    out.goal.layers.push_back(topcoat(scene));
  }
}

}  // namespace

Asked asked(const Scene& scene, const Wish& wish, bool allow_swaps) {
  Asked out;
  Goal& goal = out.goal;
  goal.treatment = wish.treatment;
  if (wish.treatment == Treatment::keep || wish.treatment == Treatment::none) return out;
  if (!wish.wanted.empty()) {
    out.by_name = true;
    whole_build_up(scene, wish, allow_swaps, out);
  }
  if (goal.layers.empty()) {
    Layer last;
    last.coats = wish.coats;
    last.candidates = for_treatment(scene, wish.treatment);
    std::vector<int> stains;
    if (wish.treatment == Treatment::stain_and_clear) {
      stains = all(scene, [](const Product& p) { return p.kind == Kind::stain && by_hand(p); });
    }
    if (!wish.product.empty()) {
      const int index = index_of(scene, wish.product);
      const Product* product = index < 0 ? nullptr : &scene.catalog->products[static_cast<std::size_t>(index)];
      if (product == nullptr) {
        out.findings.push_back(no_such(scene, wish.product));
      } else if (!fits(*product, wish.treatment)) {
        out.findings.push_back({"product-for-another-job",
                                catalog::Severity::must_not,
                                product->name + " is a " + catalog::to_text(product->kind) + ", the zone asks for " +
                                    piece::to_text(wish.treatment) + ".",
                                "Choose a product of the right kind; the plan goes on with one that fits.",
                                "common practice, no source",
                                {},
                                {}});
      } else if (product->kind == Kind::stain) {
        out.by_name = true;
        stains = {index};
      } else {
        out.by_name = true;
        auto swaps = last.candidates;
        std::erase(swaps, index);
        last.candidates = {index};
        if (allow_swaps) last.swaps = std::move(swaps);
        if (product->kind == Kind::sealer) last.kind = StepKind::clear;
      }
    }
    if (wish.treatment == Treatment::clear || wish.treatment == Treatment::stain_and_clear) {
      const bool shellacs = std::all_of(last.candidates.begin(), last.candidates.end(), [&](int index) {
        const Kind kind = scene.catalog->products[static_cast<std::size_t>(index)].kind;
        return kind == Kind::clear || kind == Kind::sealer;
      });
      if (shellacs) last.kind = StepKind::clear;
    }
    if (wish.treatment == Treatment::metal_spray) last.kind = StepKind::metal_coat;
    const bool open_grain = std::any_of(scene.from.damage.begin(), scene.from.damage.end(), [](const std::string& d) {
      return d.find("open pore") != std::string::npos || d.find("open grain") != std::string::npos;
    });
    if (open_grain && scene.woody && wish.treatment != Treatment::fabric) {
      Layer filler;
      filler.candidates = all(scene, [](const Product& p) { return p.kind == Kind::grain_filler; });
      if (!filler.candidates.empty()) goal.layers.push_back(std::move(filler));
    }
    if (!stains.empty()) {
      Layer stain;
      stain.candidates = std::move(stains);
      goal.layers.push_back(std::move(stain));
    }
    goal.layers.push_back(std::move(last));
    if (wish.treatment == Treatment::paint || wish.treatment == Treatment::paint_inside) {
      goal.layers.push_back(topcoat(scene));
    }
  }
  goal.colour =
      wish.treatment != Treatment::fabric &&
      std::any_of(goal.layers.begin(), goal.layers.end(), [&](const Layer& layer) { return is_colour(scene, layer); });
  return out;
}

}  // namespace tackcloth::finish
