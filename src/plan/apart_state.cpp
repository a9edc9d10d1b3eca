#include "plan/apart_state.h"

#include <algorithm>
#include <map>
#include <set>

namespace tackcloth::plan {

namespace {

using finish::StepKind;

bool leaves_film(StepKind kind) {
  switch (kind) {
    case StepKind::barrier:
    case StepKind::seal:
    case StepKind::prime:
    case StepKind::paint:
    case StepKind::clear:
    case StepKind::metal_coat:
      return true;
    default:
      return false;
  }
}
bool is_coat(StepKind kind) {
  return leaves_film(kind) || kind == StepKind::stain || kind == StepKind::oil || kind == StepKind::wax ||
         kind == StepKind::grain_fill;
}

std::vector<std::string> zones_of(const std::string& list) {
  std::vector<std::string> zones;
  for (std::size_t at = 0; at < list.size();) {
    const std::size_t end = std::min(list.find(',', at), list.size());
    std::string zone = list.substr(at, end - at);
    zone.erase(0, std::min(zone.find_first_not_of(' '), zone.size()));
    if (!zone.empty()) zones.push_back(std::move(zone));
    at = end + 1;
  }
  return zones;
}

std::string moment(Instant when) {
  std::string text = to_iso(when);
  std::replace(text.begin(), text.end(), 'T', ' ');
  return text;
}

}  // namespace

std::vector<piece::PartState> part_states(const PlannedPiece& piece, const catalog::Catalog& catalog, Instant now) {
  std::map<std::string, piece::PartState> parts;
  std::map<std::string, double> build;  // by zone
  std::map<std::string, Instant> ready;
  for (const PlannedStep& step : piece.schedule) {
    const bool cloth = step.kind == StepKind::fabric_glue;
    if (!is_coat(step.kind) && !cloth) continue;
    const catalog::Product* product = catalog.product(step.product);
    std::set<std::string> touched;
    for (const std::string& zone : zones_of(step.zones)) {
      touched.insert(zone.substr(0, zone.find('/')));
      if (leaves_film(step.kind) && product != nullptr) build[zone] += step.wet_um * product->solids_volume_fraction;
    }
    for (const std::string& id : touched) {
      piece::PartState& part = parts[id];
      part.part = id;
      if (cloth) {
        part.cloth_step = step.text + ", " + (step.done ? "done" : "planned for " + moment(step.start));
        part.cloth_is_on = part.cloth_is_on || step.done;
        continue;
      }
      // The last that is not ready is the one to wait for.
      const Instant until = step.done ? step.ready_p90 : std::max(step.ready_p90, now + Minutes(1));
      if (until <= now || (ready.contains(id) && ready[id] >= until)) continue;
      ready[id] = until;
      part.not_ready = step.text + ", " + (step.done ? "on, and ready by " : "not on yet; planned ready by ") +
                       moment(step.ready_p90);
    }
  }
  for (const auto& [zone, um] : build) {
    piece::PartState& part = parts[zone.substr(0, zone.find('/'))];
    part.build_um = std::max(part.build_um, um);
  }
  std::vector<piece::PartState> states;
  for (auto& [id, state] : parts) states.push_back(std::move(state));
  return states;
}

}  // namespace tackcloth::plan
