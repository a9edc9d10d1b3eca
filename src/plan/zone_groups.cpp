#include "plan/zone_groups.h"

#include <algorithm>

namespace tackcloth::plan {

namespace {

finish::Surface surface_of(const piece::Piece& piece, const piece::Part& part, const piece::Zone& zone,
                           bool lead_cleared) {
  finish::Surface s;
  s.material = part.substrate.material;
  s.species = part.substrate.species;
  s.existing = part.existing;
  s.sanding_budget_um = piece::sanding_budget_um(part);
  s.grimy = part.grimy;
  s.old_glue = part.old_glue;
  s.stubborn = part.stubborn_finish;
  s.sandable = part.sand;
  s.lead_possible = !lead_cleared && piece::lead_possible(piece);
  s.interior = zone.treatment == piece::Treatment::paint_inside || zone.face == "inside";
  s.damage = part.damage;
  return s;
}

bool same_surface(const finish::Surface& a, const finish::Surface& b) {
  return a.material == b.material && a.species == b.species && a.existing == b.existing &&
         a.sanding_budget_um == b.sanding_budget_um && a.grimy == b.grimy && a.old_glue == b.old_glue &&
         a.stubborn == b.stubborn && a.sandable == b.sandable && a.lead_possible == b.lead_possible &&
         a.interior == b.interior && a.damage == b.damage;
}

bool same_wish(const finish::Wish& a, const finish::Wish& b) {
  return a.treatment == b.treatment && a.product == b.product && a.coats == b.coats && a.wanted == b.wanted;
}

}  // namespace

std::vector<ZoneGroup> zone_groups(const piece::Piece& piece, bool lead_cleared) {
  std::vector<ZoneGroup> groups;
  for (const piece::Part& part : piece.parts) {
    for (const piece::Zone& zone : part.zones) {
      if (zone.treatment == piece::Treatment::keep || zone.treatment == piece::Treatment::none || zone.area_m2 <= 0)
        continue;
      const finish::Surface surface = surface_of(piece, part, zone, lead_cleared);
      const finish::Wish wish{zone.treatment, zone.product, zone.coats, zone.wanted};
      auto group = std::find_if(groups.begin(), groups.end(), [&](const ZoneGroup& g) {
        return same_surface(g.surface, surface) && same_wish(g.wish, wish) && g.color == zone.color;
      });
      if (group == groups.end()) {
        groups.push_back({surface, wish, zone.color, {}, {}, 0, 0, film::Lie::horizontal});
        group = groups.end() - 1;
      }
      group->zones.push_back(part.id + "/" + zone.id);
      if (std::find(group->parts.begin(), group->parts.end(), part.id) == group->parts.end())
        group->parts.push_back(part.id);
      group->area_m2 += zone.area_m2;
      group->tape_m += zone.tape_mm / 1000.0;
      const auto face =
          std::find_if(part.faces.begin(), part.faces.end(), [&](const piece::Face& f) { return f.name == zone.face; });
      if (face == part.faces.end() || face->vertical) group->lie = film::Lie::vertical;
    }
  }
  return groups;
}

}  // namespace tackcloth::plan
