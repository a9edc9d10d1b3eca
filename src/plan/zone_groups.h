// Zones of a piece that are alike in surface and wish, to be worked together.
#pragma once

#include <string>
#include <vector>

#include "finish/finish.h"
#include "piece/piece.h"

namespace tackcloth::plan {

struct ZoneGroup {
  finish::Surface surface;
  finish::Wish wish;
  std::string color;               // the owner's word; two colours are two groups
  std::vector<std::string> zones;  // "part/zone"
  std::vector<std::string> parts;
  double area_m2 = 0;
  double tape_m = 0;
  film::Lie lie = film::Lie::horizontal;  // vertical as soon as one face stands upright: it sags and dries there
};

// In the order of the job file. Zones that are kept as they are make no group.
std::vector<ZoneGroup> zone_groups(const piece::Piece& piece, bool lead_cleared);

}  // namespace tackcloth::plan
