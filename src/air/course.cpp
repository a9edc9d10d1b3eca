#include "air/course.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::air {

Zones zones_of(const Room& room) {
  // A wrong number must not make the air look better: no ventilation, a small zone.
  const auto sound = [](double value, double otherwise) {
    return std::isfinite(value) && value > 0 ? value : otherwise;
  };
  const double whole = sound(room.volume_m3, 1);
  const double bench = std::min(sound(room.bench_zone_m3, 1), 0.9 * whole);
  PerZone volume{bench, whole - bench, 1}, out{0, fresh_air_m3_h(room), 0};
  std::array<PerZone, kMostZones> flow{};
  flow[kBench][kRoom] = flow[kRoom][kBench] = sound(room.exchange_m3_h, 1);
  if (!(room.house_m3 > 0)) return Zones(2, volume, out, flow);
  volume[kHouse] = room.house_m3;
  out[kHouse] = sound(room.house_air_changes_per_h, 0) * room.house_m3;
  flow[kRoom][kHouse] = flow[kHouse][kRoom] = sound(room.door_m3_h, 0);
  return Zones(3, volume, out, flow);
}

Followed follow(const Zones& zones, const Emission& emission) {
  const std::size_t vapours = emission.from.size(), times = emission.hours.size();
  Followed out;
  out.g_m3.assign(vapours, std::vector<PerZone>(times, PerZone{}));
  out.g_h_m3 = out.g_m3;
  double last_step = -1;
  Zones::Step step;
  for (std::size_t i = 0; i + 1 < times; ++i) {
    const double length = emission.hours[i + 1] - emission.hours[i];
    if (length != last_step) step = zones.step(last_step = length);
    for (std::size_t v = 0; v < vapours; ++v) {
      const PerZone from{emission.from[v][i]}, to{emission.to[v][i]};  // all into the bench zone
      PerZone area;
      out.g_m3[v][i + 1] = zones.advance(step, out.g_m3[v][i], from, to, area);
      for (int z = 0; z < zones.count(); ++z) {
        out.g_m3[v][i + 1][z] = std::max(0.0, out.g_m3[v][i + 1][z]);
        out.g_h_m3[v][i + 1][z] = out.g_h_m3[v][i][z] + std::max(0.0, area[z]);
      }
    }
  }
  return out;
}

double worst_mean(const std::vector<double>& hours, const std::vector<double>& value,
                  const std::vector<double>& integral, double window_h) {
  // The integral between grid points by its cubic through both ends' values and slopes (Hermite).
  std::size_t low = 0, high = 0;
  const auto until = [&](double t, std::size_t& i) {
    while (i + 2 < hours.size() && hours[i + 1] < t) ++i;
    const double h = hours[i + 1] - hours[i], s = std::clamp((t - hours[i]) / h, 0.0, 1.0), r = 1 - s;
    return integral[i] * (1 + 2 * s) * r * r + h * value[i] * s * r * r + integral[i + 1] * s * s * (3 - 2 * s) -
           h * value[i + 1] * s * s * r;
  };
  if (hours.size() < 2) return 0;
  double worst = 0;
  for (std::size_t i = 0; i < hours.size(); ++i) {
    // Windows that begin at a grid point, and windows that end at one.
    if (hours[i] + window_h <= hours.back()) worst = std::max(worst, until(hours[i] + window_h, high) - integral[i]);
    const double begin = hours[i] - window_h;
    worst = std::max(worst, integral[i] - (begin <= 0 ? 0 : until(begin, low)));
  }
  return worst / window_h;
}

}  // namespace tackcloth::air
