#include <algorithm>
#include <map>

#include "cutting/check.h"
#include "cutting/sheets.h"

namespace tackcloth::cutting {

std::vector<std::string> sheet_faults(const Grounds& grounds, const Sheeted& sheeted) {
  std::vector<std::string> found;
  const int remnants = static_cast<int>(grounds.remnants.size());
  const std::vector<Part>& wanted =
      grounds.fresh.parts.empty() && remnants > 0 ? grounds.remnants.front().parts : grounds.fresh.parts;
  std::map<std::pair<int, int>, int> seen;
  for (const auto& copy : sheeted.missing) ++seen[copy];
  if (!sheeted.missing.empty() && grounds.fresh.strip.width > 0 && grounds.fresh.length == 0)
    found.emplace_back("parts are left out although there is a roll");
  std::map<int, int> used;
  Length length = 0;
  for (const OnGround& on : sheeted.used) {
    if (on.ground < 0 || ++used[on.ground] > 1) {
      found.emplace_back("a ground is there twice, or none");
      return found;
    }
    const Ground& ground = on.ground < remnants ? grounds.remnants[static_cast<std::size_t>(on.ground)] : grounds.fresh;
    // Only what lies here, with its copies counted anew.
    std::vector<Part> parts = ground.parts;
    for (Part& part : parts) part.quantity = 0;
    Layout here = on.layout;
    for (Place& p : here.places) {
      if (p.part < 0 || p.part >= static_cast<int>(parts.size())) {
        found.emplace_back("a place of no part");
        return found;
      }
      ++seen[{p.part, p.copy}];
      p.copy = parts[static_cast<std::size_t>(p.part)].quantity++;
    }
    for (std::string& fault : faults(parts, ground.strip, here)) found.push_back(std::move(fault));
    if (ground.length > 0 && here.height > ground.length) found.emplace_back("a part is off the end of its ground");
    if (on.ground >= remnants && ground.length == 0) length = std::max(length, here.height);
  }
  int sheets = 0;
  for (const auto& [ground, times] : used) sheets += ground >= remnants && grounds.fresh.length > 0;
  if (sheeted.sheets != sheets) found.emplace_back("the number of new sheets is not that of those used");
  if (sheeted.length != length) found.emplace_back("the length is not that of the highest part on the roll");
  for (std::size_t p = 0; p < wanted.size(); ++p)
    for (int copy = 0; copy < wanted[p].quantity; ++copy) {
      const auto at = seen.find({static_cast<int>(p), copy});
      const int times = at == seen.end() ? 0 : at->second;
      if (times != 1) found.push_back("'" + wanted[p].id + "' has a copy laid " + std::to_string(times) + " times");
      if (at != seen.end()) seen.erase(at);
    }
  if (!seen.empty()) found.emplace_back("a copy of a part that nobody asked for");
  return found;
}

}  // namespace tackcloth::cutting
