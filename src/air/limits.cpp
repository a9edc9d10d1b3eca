#include "air/limits.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::air {

namespace {

// Where no limit is set: 10 ppm, at the strict end of the limits set for the solvents of coatings. No source: the safe
// side, said aloud in a finding.
constexpr double kAssumedTwaPpm = 10;
// Without a short-term limit: three times the 8 h one (ACGIH, TLVs and BEIs, excursion limits; from memory).
constexpr double kExcursion = 3;
// Lowest explosive limit among coating solvents, for a vapour the catalogue does not know.
constexpr double kAssumedLelPercent = 0.6;

Limit limit_of(const std::string& id, const catalog::Component* c) {
  Limit limit;
  limit.id = limit.name = id;
  limit.unknown = !c;
  double lel_percent = kAssumedLelPercent;
  if (c) {
    limit.name = c->name;
    if (c->molar_mass_g > 0) limit.molar_mass_g = c->molar_mass_g;
    limit.twa_ppm = c->twa_ppm;
    limit.stel_ppm = c->stel_ppm;
    lel_percent = c->lel_percent;
    limit.boiling_c = c->antoine_b / (c->antoine_a - std::log10(760.0)) - c->antoine_c;
  }
  if (c) limit.source = c->limit_source;
  limit.twa_assumed = !(limit.twa_ppm > 0);
  if (limit.twa_assumed) limit.twa_ppm = limit.stel_ppm > 0 ? std::min(kAssumedTwaPpm, limit.stel_ppm) : kAssumedTwaPpm;
  if (limit.twa_assumed) limit.source = "no limit known: a safe stand-in";
  if (!(limit.stel_ppm > 0)) limit.stel_ppm = kExcursion * limit.twa_ppm;
  limit.lel_share = lel_percent / 100;
  return limit;
}

}  // namespace

std::vector<Limit> limits_of(const std::vector<Source>& sources, const catalog::Catalog& catalog) {
  std::vector<Limit> limits;
  const auto meet = [&](const std::string& id) {
    const bool met = std::any_of(limits.begin(), limits.end(), [&](const Limit& l) { return l.id == id; });
    if (id != "water" && !met) limits.push_back(limit_of(id, catalog.component(id)));
  };
  for (const Source& source : sources) {
    if (source.curve)
      for (const std::string& id : source.curve->components) meet(id);
    for (const Release& release : source.releases)
      if (release.g > 0) meet(release.component);
  }
  return limits;
}

double ppm_per_g_m3(const Limit& limit) { return 24450 / limit.molar_mass_g; }

}  // namespace tackcloth::air
