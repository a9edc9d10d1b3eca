#include "air/emission.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::air {

namespace {

struct Point {
  double hour, g_h;  // two points at one hour are a jump
};
using Track = std::vector<Point>;

Track track_of(const Source& source, std::size_t component) {
  Track track;
  const film::Model::Curve& curve = *source.curve;
  if (component >= curve.g_m2_h.size() || !(source.area_m2 > 0)) return track;
  const std::vector<double>& rates = curve.g_m2_h[component];
  const double start = std::max(0.0, source.start_h);
  const std::size_t n = std::min(curve.hours.size(), rates.size());
  for (std::size_t i = 0; i < n; ++i) {
    const double hour = start + std::max(0.0, curve.hours[i]);
    if (!std::isfinite(hour) || !std::isfinite(rates[i]) || (!track.empty() && hour < track.back().hour)) continue;
    const double rate = std::max(0.0, rates[i]) * source.area_m2;
    if (track.empty()) track.push_back({start, rate});
    track.push_back({hour, rate});
  }
  if (track.empty()) return track;
  const double last = track.back().g_h;
  const bool known = component < curve.g_m2.size() && !curve.g_m2[component].empty();
  const double left = known ? curve.g_m2[component].back() * source.area_m2 : 0;
  if (last > 0 && left > 0) track.push_back({track.back().hour + left / last, last});
  return track;
}

Track track_of(const Source& source, const Release& release) {
  constexpr double kShortest = 1.0 / 60;
  const double start = std::max(0.0, source.start_h) + std::max(0.0, release.start_h);
  const double hours = std::max(kShortest, release.hours);
  if (!(release.g > 0) || !std::isfinite(release.g) || !std::isfinite(start) || !std::isfinite(hours)) return {};
  return {{start, release.g / hours}, {start + hours, release.g / hours}};
}

}  // namespace

Emission emission_of(const std::vector<Source>& sources, const std::vector<Limit>& vapours, double hours,
                     double longest_h) {
  std::vector<std::pair<std::size_t, Track>> tracks;  // vapour, track
  const auto each = [&](const std::string& id, const auto& make) {
    for (std::size_t v = 0; v < vapours.size(); ++v)
      if (vapours[v].id == id) tracks.emplace_back(v, make());
  };
  for (const Source& source : sources) {
    if (source.curve)
      for (std::size_t c = 0; c < source.curve->components.size(); ++c)
        each(source.curve->components[c], [&] { return track_of(source, c); });
    for (const Release& release : source.releases) each(release.component, [&] { return track_of(source, release); });
  }
  Emission out;
  const auto even = static_cast<std::size_t>(std::ceil(hours / longest_h - 1e-9));
  for (std::size_t i = 0; i <= even; ++i) out.hours.push_back(std::min(hours, double(i) * longest_h));
  for (const auto& [vapour, track] : tracks)
    for (const Point& point : track)
      if (point.hour < hours) out.hours.push_back(point.hour);
  std::sort(out.hours.begin(), out.hours.end());
  // Times that differ by rounding only are one.
  out.hours.erase(std::unique(out.hours.begin(), out.hours.end(),
                              [](double a, double b) { return b - a <= 1e-12 * std::max(1.0, b); }),
                  out.hours.end());
  const std::size_t pieces = out.hours.size() - 1;
  out.from.assign(vapours.size(), std::vector<double>(pieces, 0));
  out.to = out.from;
  for (const auto& [vapour, track] : tracks) {
    std::size_t p = 0;
    for (std::size_t i = 0; i < pieces && track.size() > 1; ++i) {
      const double a = out.hours[i], b = out.hours[i + 1], middle = (a + b) / 2;
      if (middle < track.front().hour) continue;
      while (p + 1 < track.size() && track[p + 1].hour <= middle) ++p;
      if (p + 1 >= track.size()) break;
      const Point &left = track[p], &right = track[p + 1];
      const double slope = (right.g_h - left.g_h) / (right.hour - left.hour);
      out.from[vapour][i] += std::max(0.0, left.g_h + slope * (a - left.hour));
      out.to[vapour][i] += std::max(0.0, left.g_h + slope * (b - left.hour));
    }
  }
  return out;
}

}  // namespace tackcloth::air
