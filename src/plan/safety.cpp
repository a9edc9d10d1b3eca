#include "plan/safety.h"

#include <algorithm>
#include <set>

namespace tackcloth::plan {

namespace {

constexpr calendar::Tick kDay = 24 * 60;
// Vapour of a coat put on in the evening is followed through the next day.
constexpr double kFollowHours = 36;

double solvent_g_m2(const catalog::Product& product, double wet_um) {
  double share = 0;
  for (const catalog::Volatile& v : product.volatiles)
    if (v.component != "water") share += v.mass_fraction;
  return share * wet_um * product.density_kg_l;  // µm x kg/l = g/m²
}

air::Room air_room(const job::Room& room) {
  air::Room r;
  r.volume_m3 = room.volume_m3;
  r.air_changes_per_h = room.air_changes_per_h;
  r.fan_m3_h = room.fan_m3_h;
  // The bench zone is a hemisphere of about 1.5 m around the work, never more than a third of the room (near-field of
  // the two-zone model, AIHA Mathematical Models for Estimating Occupational Exposure; from memory).
  r.bench_zone_m3 = std::min(7.0, room.volume_m3 / 3);
  return r;
}

}  // namespace

Safety look_after(const DateInput& input, const Dated& dated) {
  const catalog::Catalog& catalog = *input.world->catalog;
  const std::vector<Task>& tasks = *input.tasks;
  Safety safety;
  std::vector<const catalog::Product*> used;
  std::map<std::string, std::map<calendar::Tick, double>> grams;  // room -> day -> solvent
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const catalog::Product* product = catalog.product(tasks[t].step.product);
    if (!product) continue;
    if (std::find(used.begin(), used.end(), product) == used.end()) used.push_back(product);
    if (tasks[t].step.is_film && !input.seen[t].done)
      grams[dated.tasks[t].room][dated.tasks[t].start / kDay] +=
          solvent_g_m2(*product, tasks[t].step.wet_um) * tasks[t].area_m2;
  }
  safety.findings = air::usual_cautions(used);
  for (const job::Room& room : input.job->shop.rooms) {
    const auto days = grams.find(room.id);
    if (days == grams.end()) continue;
    const auto busiest = std::max_element(days->second.begin(), days->second.end(),
                                          [](const auto& a, const auto& b) { return a.second < b.second; });
    if (busiest->second <= 0) continue;
    RoomDay& day = safety.busiest[room.id];
    std::vector<film::Model::Curve> curves;
    std::vector<std::size_t> of;
    for (std::size_t t = 0; t < tasks.size(); ++t) {
      const DatedTask& d = dated.tasks[t];
      if (!tasks[t].step.is_film || input.seen[t].done || d.room != room.id || d.start / kDay != busiest->first)
        continue;
      const film::Coat coat{catalog.product(tasks[t].step.product), tasks[t].step.wet_um, tasks[t].step.ground,
                            tasks[t].lie};
      curves.push_back(
          input.world->film->curve(coat, input.rooms->at(room.id), input.start + Minutes(d.start), kFollowHours));
      of.push_back(t);
    }
    std::vector<air::Source> sources;
    for (std::size_t i = 0; i < of.size(); ++i) {
      const DatedTask& d = dated.tasks[of[i]];
      sources.push_back({&curves[i], tasks[of[i]].area_m2, double(d.start - busiest->first * kDay) / 60, {}});
      const catalog::Product& product = *catalog.product(tasks[of[i]].step.product);
      for (const catalog::Application& application : product.applications)
        if (application.method == tasks[of[i]].step.method)
          sources.back().releases = air::sprayed(product, application, tasks[of[i]].step.wet_um, tasks[of[i]].area_m2);
      if (std::find(day.pieces.begin(), day.pieces.end(), tasks[of[i]].piece) == day.pieces.end())
        day.pieces.push_back(tasks[of[i]].piece);
    }
    day.verdict = air::judge(air_room(room), sources, catalog, kFollowHours + 24);
    for (catalog::Finding finding : day.verdict.findings) {
      if (day.pieces.size() == 1) finding.piece = input.job->pieces[static_cast<std::size_t>(day.pieces[0])].piece.id;
      safety.findings.push_back(std::move(finding));
    }
  }
  return safety;
}

}  // namespace tackcloth::plan
