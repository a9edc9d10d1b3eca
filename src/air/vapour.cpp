#include "air/vapour.h"

#include <algorithm>
#include <cmath>

#include "air/course.h"
#include "air/findings.h"

namespace tackcloth::air {

namespace {

constexpr double kShiftH = 8, kShortH = 0.25;
// Divides 15 min and 8 h; long courses are taken coarser.
double longest_piece(double hours) { return std::max(0.05, 0.05 * std::ceil(hours / 150)); }

double positive(double value) { return std::isfinite(value) && value > 0 ? value : 0; }

// The worst values of one room under one emission.
struct Worst {
  std::vector<double> twa_ppm, stel_ppm, peak_ppm;  // of each vapour, bench zone
  double mixture = 0, stel = 0, lel = 0, peak = 0, room = 0, house = 0;
  double last_over_h = -1;  // -1: never over; inf: still over at the end
};

Worst worst_of(const Room& room, const Emission& emission, const std::vector<Limit>& limits) {
  const Zones zones = zones_of(room);
  const Followed air = follow(zones, emission);
  const std::size_t times = emission.hours.size(), vapours = limits.size();
  Worst worst;
  std::vector<double> share(times, 0), shares(times, 0), lel(times, 0);
  std::vector<double> value(times), area(times);
  for (int zone = 0; zone < zones.count(); ++zone) {
    std::fill(share.begin(), share.end(), 0);
    std::fill(shares.begin(), shares.end(), 0);
    for (std::size_t v = 0; v < vapours; ++v) {
      const double ppm = ppm_per_g_m3(limits[v]);
      for (std::size_t i = 0; i < times; ++i) {
        value[i] = ppm * air.g_m3[v][i][zone];
        area[i] = ppm * air.g_h_m3[v][i][zone];
        share[i] += value[i] / limits[v].twa_ppm;
        shares[i] += area[i] / limits[v].twa_ppm;
        if (zone == kBench && limits[v].lel_share > 0) lel[i] += value[i] * 1e-6 / limits[v].lel_share;
      }
      if (zone != kBench) continue;
      worst.twa_ppm.push_back(worst_mean(emission.hours, value, area, kShiftH));
      worst.stel_ppm.push_back(worst_mean(emission.hours, value, area, kShortH));
      worst.peak_ppm.push_back(*std::max_element(value.begin(), value.end()));
      worst.stel = std::max(worst.stel, worst.stel_ppm.back() / limits[v].stel_ppm);
    }
    const double mean = worst_mean(emission.hours, share, shares, kShiftH);
    (zone == kBench ? worst.mixture : zone == kRoom ? worst.room : worst.house) = mean;
    if (zone != kBench) continue;
    worst.peak = *std::max_element(share.begin(), share.end());
    worst.lel = *std::max_element(lel.begin(), lel.end());
    for (std::size_t i = 0; i < times; ++i)
      if (share[i] >= 1 || lel[i] >= 0.1) worst.last_over_h = i + 1 < times ? emission.hours[i + 1] : film::kNever;
  }
  return worst;
}

bool safe(const Worst& worst) { return worst.mixture < 1 && worst.stel < 1 && worst.lel < 0.1; }

// Least fan flow, to the next whole m³/h, that keeps every limit.
double fan_needed(Room room, const Emission& emission, const std::vector<Limit>& limits) {
  const auto holds = [&](double flow) {
    room.fan_m3_h = flow;
    return safe(worst_of(room, emission, limits));
  };
  if (holds(0)) return 0;
  // Above this the room is a gale (100 air changes an hour and more); what is left is the bench zone's own.
  double high = std::ceil(std::max(2000.0, 100 * positive(room.volume_m3))), low = 0;
  if (!holds(high)) return film::kNever;
  while (high - low > 1) {
    const double middle = std::floor((low + high) / 2);
    (holds(middle) ? high : low) = middle;
  }
  return high;
}

}  // namespace

std::vector<Release> sprayed(const catalog::Product& product, const catalog::Application& application, double wet_um,
                             double area_m2) {
  const bool can = application.method == catalog::Method::aerosol;
  if (!can && application.method != catalog::Method::spray_gun) return {};
  const double transfer = std::clamp(application.transfer, 0.01, 1.0);
  const double on_work = positive(area_m2) * positive(wet_um) * product.density_kg_l;  // m² µm kg/l = g
  const double sprayed_g = on_work / transfer, hours = application.minutes_per_m2 * positive(area_m2) / 60;
  std::vector<Release> releases;
  for (const catalog::Volatile& v : product.volatiles)
    if (v.component != "water" && sprayed_g > on_work)
      releases.push_back({v.component, v.mass_fraction * (sprayed_g - on_work), 0, hours});
  if (can && product.propellant) {
    const double share = std::clamp(product.propellant->mass_fraction, 0.0, 0.99);
    releases.push_back({product.propellant->component, sprayed_g * share / (1 - share), 0, hours});
  }
  return releases;
}

std::optional<Problem> trouble_with(const Room& room) {
  const auto problem = [](std::string what, std::string expected, std::string remedy) {
    return Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
  };
  if (!(room.volume_m3 >= 2 && room.volume_m3 <= 1e5))
    return problem("the room holds " + std::to_string(room.volume_m3) + " m³", "between 2 and 100,000 m³",
                   "length times width times height: a single garage is about 40 m3");
  if (!(room.air_changes_per_h >= 0 && room.air_changes_per_h <= 200))
    return problem("the room has " + std::to_string(room.air_changes_per_h) + " air changes an hour",
                   "between 0 and 200", "a closed room has about 0.3 to 0.5");
  if (!(room.fan_m3_h >= 0 && room.fan_m3_h <= 1e6))
    return problem("the fan moves " + std::to_string(room.fan_m3_h) + " m³/h", "between 0 and 1,000,000 m³/h",
                   "use the flow on its plate: 120 m3/h or 70 cfm");
  if (!(room.bench_zone_m3 > 0 && room.bench_zone_m3 < room.volume_m3))
    return problem("the zone around the bench holds " + std::to_string(room.bench_zone_m3) + " m³",
                   "more than 0 and less than the room", "about 7 m3, or a third of a small room");
  if (!(room.exchange_m3_h > 0 && room.exchange_m3_h <= 1e6))
    return problem("the air between bench and room is " + std::to_string(room.exchange_m3_h) + " m³/h",
                   "more than 0 m³/h", "about 300 m3/h in still air");
  if (!(room.house_m3 >= 0 && room.door_m3_h >= 0 && room.house_air_changes_per_h >= 0))
    return problem("a negative number for the house behind the door", "0 or more", "leave it out when there is none");
  return std::nullopt;
}

double fresh_air_m3_h(const Room& room) {
  return std::hypot(positive(room.air_changes_per_h) * positive(room.volume_m3), positive(room.fan_m3_h));
}

Course vapour(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours) {
  Course course;
  const std::vector<Limit> limits = limits_of(sources, catalog);
  const double until = std::isfinite(hours) ? std::max(0.05, hours) : 24;
  const Emission emission = emission_of(sources, limits, until, longest_piece(until));
  const Zones zones = zones_of(room);
  const Followed air = follow(zones, emission);
  course.hours = emission.hours;
  for (std::size_t v = 0; v < limits.size(); ++v) {
    course.components.push_back(limits[v].id);
    std::vector<double> by_zone[kMostZones];
    for (const PerZone& c : air.g_m3[v])
      for (int z = 0; z < zones.count(); ++z) by_zone[z].push_back(c[z] * ppm_per_g_m3(limits[v]));
    course.ppm_bench.push_back(std::move(by_zone[kBench]));
    course.ppm_room.push_back(std::move(by_zone[kRoom]));
    if (zones.count() > kHouse) course.ppm_house.push_back(std::move(by_zone[kHouse]));
  }
  return course;
}

Verdict judge(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours) {
  Verdict verdict;
  const std::vector<Limit> limits = limits_of(sources, catalog);
  double last_start = 0;
  for (const Source& source : sources)
    if (source.curve || !source.releases.empty()) last_start = std::max(last_start, positive(source.start_h));
  if (!limits.empty()) {
    // At least a whole shift after the last coat, so that no mean is diluted by time not looked at.
    const double until = std::max(std::isfinite(hours) ? hours : 24, last_start + kShiftH);
    const Emission emission = emission_of(sources, limits, until, longest_piece(until));
    const Worst worst = worst_of(room, emission, limits);
    std::size_t v = 0;
    const auto share = [&](std::size_t i) {
      return std::max(worst.twa_ppm[i] / limits[i].twa_ppm, worst.stel_ppm[i] / limits[i].stel_ppm);
    };
    for (std::size_t i = 1; i < limits.size(); ++i)
      if (share(i) > share(v)) v = i;
    for (std::size_t i = 0; i < limits.size(); ++i)
      verdict.vapours.push_back({limits[i].id, limits[i].name, worst.peak_ppm[i], worst.twa_ppm[i], worst.stel_ppm[i],
                                 limits[i].twa_ppm, limits[i].stel_ppm, limits[i].source});
    verdict.worst_component = limits[v].id;
    verdict.peak_ppm = worst.peak_ppm[v];
    verdict.peak_mg_m3 = worst.peak_ppm[v] / ppm_per_g_m3(limits[v]) * 1000;
    verdict.twa_ppm = worst.twa_ppm[v];
    verdict.stel_ppm = worst.stel_ppm[v];
    verdict.mixture_share = worst.mixture;
    verdict.stel_share = worst.stel;
    verdict.lel_share = worst.lel;
    verdict.peak_share = worst.peak;
    verdict.room_share = worst.room;
    verdict.house_share = worst.house;
    verdict.reentry_h = std::max(0.0, worst.last_over_h - last_start);
    verdict.fan_needed_m3_h = fan_needed(room, emission, limits);
  }
  const bool spray = std::any_of(sources.begin(), sources.end(), [](const Source& s) { return !s.releases.empty(); });
  verdict.findings = findings_for(verdict, limits, spray);
  return verdict;
}

}  // namespace tackcloth::air
