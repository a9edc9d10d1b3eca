#include "look/look.h"

#include <algorithm>
#include <cmath>

#include "color/css.h"
#include "color/difference.h"
#include "color/estimate.h"
#include "color/layers.h"
#include "color/light.h"
#include "piece/words.h"

namespace tackcloth::look {

namespace {

tl::unexpected<Problem> missing(const std::string& what, const std::string& id) {
  return tl::unexpected(Problem{"", 0, 0, "there is no " + what + " '" + id + "' in this job",
                                "the id of a " + what + " of the job", "look it up in the job file"});
}

// The palette's clears go by binder, so a product's own clear is found by its binder; without a product the treatment
// says which.
std::string clear_id(const piece::Zone& zone, const catalog::Catalog& catalog) {
  using catalog::Binder;
  for (const catalog::Product& product : catalog.products) {
    if (product.id != zone.product) continue;
    switch (product.binder) {
      case Binder::shellac_dewaxed:
        return "shellac_dewaxed";
      case Binder::shellac_waxed:
        return "shellac_waxed";
      case Binder::oil:
        return "oil";
      case Binder::alkyd:
        return "alkyd";
      case Binder::urethane_oil:
        return "urethane_oil";
      case Binder::acrylic:
        return "acrylic";
      case Binder::acrylic_urethane:
        return "acrylic_urethane";
      case Binder::nitrocellulose:
        return "nitrocellulose";
      case Binder::wax:
        return "wax";
      case Binder::hardwax:
        return "hardwax";
      case Binder::epoxy:
        return "epoxy";
      default:
        return "";
    }
  }
  if (zone.treatment == piece::Treatment::oil) return "oil";
  if (zone.treatment == piece::Treatment::wax) return "wax";
  return "";
}

struct Cleared {
  color::Lab lab;
  std::array<double, 3> gain;
};

std::optional<Cleared> cleared_wood(const piece::Part& part, const piece::Zone& zone, const catalog::Catalog& catalog,
                                    const color::Palette& palette) {
  using piece::Treatment;
  if (zone.treatment != Treatment::clear && zone.treatment != Treatment::oil && zone.treatment != Treatment::wax)
    return {};
  const color::Wood* wood = palette.wood(part.substrate.species);
  const color::Clear* clear = palette.clear(clear_id(zone, catalog));
  if (!wood || !clear) return {};
  const auto bare = color::estimate_reflectance(wood->bare, color::standard_viewer());
  if (!bare) return {};
  // Three coats on wood unless the job says otherwise (common practice, no source).
  const int coats = zone.coats > 0 ? zone.coats : 3;
  const color::Lab lab = color::standard_viewer().lab(color::cleared(*bare, *clear, coats * clear->coat_um));
  const color::LinearRgb from = color::linear_rgb_from_lab(wood->bare), to = color::linear_rgb_from_lab(lab);
  const auto ratio = [](double a, double b) { return std::clamp(a / std::max(b, 1e-3), 0.0, 2.0); };
  return Cleared{lab, {ratio(to.r, from.r), ratio(to.g, from.g), ratio(to.b, from.b)}};
}

}  // namespace

Result<job::Job> with_look(const job::Job& job, const std::string& piece, const std::string& look) {
  job::Job out = job;
  const auto order =
      std::find_if(out.pieces.begin(), out.pieces.end(), [&](const auto& o) { return o.piece.id == piece; });
  if (order == out.pieces.end()) return missing("piece", piece);
  if (look.empty()) return out;
  const auto found =
      std::find_if(order->looks.begin(), order->looks.end(), [&](const auto& l) { return l.id == look; });
  if (found == order->looks.end()) return missing("look", look);
  for (const job::LookZone& change : found->zones) {
    for (piece::Part& part : order->piece.parts) {
      if (part.id != change.part) continue;
      for (piece::Zone& zone : part.zones) {
        if (zone.id != change.zone) continue;
        if (!change.treatment.empty()) {
          const auto& words = piece::treatment_words();
          zone.treatment =
              static_cast<piece::Treatment>(std::find(words.begin(), words.end(), change.treatment) - words.begin());
          // Another treatment is another build-up: what was asked for by name no longer fits.
          zone.product.clear();
          zone.wanted.clear();
          zone.coats = 0;
          if (change.color.empty()) zone.color.clear();
        }
        if (!change.product.empty()) {
          zone.product = change.product;
          zone.wanted.clear();
        }
        if (!change.color.empty()) zone.color = change.color;
      }
    }
  }
  return out;
}

std::vector<ZoneColor> colors_of(const piece::Piece& piece, const catalog::Catalog& catalog,
                                 const color::Palette& palette) {
  std::vector<ZoneColor> colors;
  for (const piece::Part& part : piece.parts) {
    for (const piece::Zone& zone : part.zones) {
      ZoneColor c{part.id, zone.id, zone.face, to_text(zone.treatment), zone.color, {}, {}, {}};
      const auto read = color::parse_color(zone.color);
      if (read && (zone.color.find('(') != std::string::npos || zone.color.starts_with("#"))) {
        c.lab = *read;
        c.from = "given";
      } else if (const auto wood = cleared_wood(part, zone, catalog, palette)) {
        c.lab = wood->lab;
        c.from = "wood";
        if (part.existing == piece::Existing::bare) c.gain = wood->gain;
      }
      colors.push_back(std::move(c));
    }
  }
  return colors;
}

std::vector<Pair> pairs_of(const piece::Piece& piece, const std::vector<ZoneColor>& colors) {
  const auto color_of = [&](const piece::Part& part, const piece::Zone& zone) -> const ZoneColor* {
    for (const ZoneColor& c : colors) {
      if (c.part == part.id && c.zone == zone.id) return &c;
    }
    return nullptr;
  };
  std::vector<Pair> pairs;
  for (const piece::Part& part : piece.parts) {
    for (std::size_t i = 0; i < part.zones.size(); ++i) {
      for (std::size_t j = i + 1; j < part.zones.size(); ++j) {
        const ZoneColor *a = color_of(part, part.zones[i]), *b = color_of(part, part.zones[j]);
        const bool meet =
            part.zones[i].face == part.zones[j].face || part.zones[i].face == "all" || part.zones[j].face == "all";
        if (!meet || !a || !b || !a->lab || !b->lab) continue;
        const color::Lch x = color::lch_from_lab(*a->lab), y = color::lch_from_lab(*b->lab);
        double hue = y.h_deg - x.h_deg;
        if (hue > 180) hue -= 360;
        if (hue <= -180) hue += 360;
        pairs.push_back({part.id, part.zones[i].id, part.zones[j].id, color::difference_2000(*a->lab, *b->lab),
                         y.l - x.l, y.c - x.c, hue});
      }
    }
  }
  return pairs;
}

}  // namespace tackcloth::look
