#include "cutting/check.h"

#include <algorithm>
#include <numeric>

namespace tackcloth::cutting {
namespace {

std::string name(const std::vector<Part>& parts, const Place& p) {
  return "'" + parts[static_cast<std::size_t>(p.part)].id + "' (copy " + std::to_string(p.copy + 1) + ")";
}

// Can `places` be set free of each other by cuts from edge to edge, each cut taking away a width of `gap`?
bool guillotine(std::vector<Place> places, Length gap) {
  if (places.size() < 2) return true;
  for (const bool across : {false, true}) {
    const auto low = [&](const Place& p) { return across ? p.y : p.x; };
    const auto high = [&](const Place& p) { return across ? p.y + p.height : p.x + p.width; };
    std::sort(places.begin(), places.end(), [&](const Place& a, const Place& b) { return low(a) < low(b); });
    std::vector<std::vector<Place>> groups(1);
    Length reach = 0;
    for (const Place& p : places) {
      if (!groups.back().empty() && low(p) >= reach + gap) groups.emplace_back();
      reach = groups.back().empty() ? high(p) : std::max(reach, high(p));
      groups.back().push_back(p);
    }
    if (groups.size() < 2) continue;
    return std::all_of(groups.begin(), groups.end(), [&](const auto& g) { return guillotine(g, gap); });
  }
  return false;
}

}  // namespace

std::vector<std::string> faults(const std::vector<Part>& parts, const Strip& strip, const Layout& layout) {
  std::vector<std::string> found;
  std::vector<std::vector<int>> seen(parts.size());
  for (std::size_t i = 0; i < parts.size(); ++i)
    seen[i].resize(static_cast<std::size_t>(std::max(0, parts[i].quantity)));
  Length highest = 0;
  for (const Place& p : layout.places) {
    if (p.part < 0 || p.part >= static_cast<int>(parts.size())) {
      found.emplace_back("a place of no part");
      return found;
    }
    const Part& part = parts[static_cast<std::size_t>(p.part)];
    if (p.copy < 0 || p.copy >= part.quantity) {
      found.emplace_back("a copy of '" + part.id + "' that nobody asked for");
      return found;
    }
    ++seen[static_cast<std::size_t>(p.part)][static_cast<std::size_t>(p.copy)];
    if (p.turned && !part.may_turn) found.emplace_back(name(parts, p) + " is turned and may not be");
    if (p.width != (p.turned ? part.height : part.width) || p.height != (p.turned ? part.width : part.height)) {
      found.emplace_back(name(parts, p) + " has another size");
    }
    if (p.x < 0 || p.y < 0 || p.x + p.width > strip.width) found.emplace_back(name(parts, p) + " is off the strip");
    if ((p.x - part.phase_x) % part.step_x != 0 || (p.y - part.phase_y) % part.step_y != 0) {
      found.emplace_back(name(parts, p) + " is off the pattern");
    }
    highest = std::max(highest, p.y + p.height);
  }
  for (std::size_t i = 0; i < parts.size(); ++i)
    for (const int times : seen[i])
      if (times != 1) found.emplace_back("'" + parts[i].id + "' has a copy laid " + std::to_string(times) + " times");
  if (highest != layout.height) found.emplace_back("the height is not that of the highest part");
  for (std::size_t i = 0; i < layout.places.size(); ++i)
    for (std::size_t j = i + 1; j < layout.places.size(); ++j) {
      const Place &a = layout.places[i], &b = layout.places[j];
      const bool apart = a.x + a.width + strip.gap <= b.x || b.x + b.width + strip.gap <= a.x ||
                         a.y + a.height + strip.gap <= b.y || b.y + b.height + strip.gap <= a.y;
      if (!apart) found.emplace_back(name(parts, a) + " and " + name(parts, b) + " overlap or are too close");
    }
  if (strip.guillotine && !guillotine(layout.places, strip.gap)) {
    found.emplace_back("the parts cannot be set free by cuts from edge to edge");
  }
  return found;
}

}  // namespace tackcloth::cutting
