#include "air/findings.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace tackcloth::air {

namespace {

using catalog::Finding;
using catalog::Severity;

std::string say(const char* form, double value) {
  char text[160];
  std::snprintf(text, sizeof text, form, value);
  return text;
}

std::string fan_text(const Verdict& verdict) {
  if (std::isfinite(verdict.fan_needed_m3_h))
    return say(
        "Run a fan of at least %.0f m³/h from before the coat until re-entry time, blowing out, with air let in "
        "behind you.",
        std::ceil(verdict.fan_needed_m3_h));
  return "No fan in the wall is enough: draw the air off at the piece, coat less at a time, work outdoors, or choose a "
         "waterborne product.";
}

std::string names(const std::vector<Limit>& limits, bool (*wanted)(const Limit&)) {
  std::string text;
  for (const Limit& limit : limits)
    if (wanted(limit)) text += (text.empty() ? "" : ", ") + limit.name;
  return text;
}

}  // namespace

Finding mist_caution() {
  return {
      "spray-mist",
      Severity::caution,
      "Spray mist is not vapour: it hangs in the air as droplets of the whole product, passes plain cartridges, burns "
      "and settles far from the work. It is not in the figures here; the solvents in it are.",
      "Spray outdoors or towards a filter that draws the mist off, with P100 (P3) filters before organic vapour "
      "cartridges. Anything with isocyanate is sprayed with supplied air only.",
      "29 CFR 1910.94(c), 29 CFR 1910.134; from memory",
      "",
      ""};
}

std::vector<Finding> findings_for(const Verdict& verdict, const std::vector<Limit>& limits, bool spray) {
  std::vector<Finding> out;
  if (limits.empty()) return out;
  const auto add = [&](const char* rule, Severity severity, std::string reason, std::string mend, std::string source) {
    out.push_back({rule, severity, std::move(reason), std::move(mend), std::move(source), "", ""});
  };

  if (verdict.lel_share >= 0.25)
    add("air-ignition", Severity::must_not,
        say("Vapour at the bench reaches %.0f %% of what can be set alight; a spark, a switch or a pilot flame is "
            "enough.",
            100 * verdict.lel_share),
        fan_text(verdict), "25 % of the lower explosive limit: 29 CFR 1910.94(c)(6)(ii), NFPA 33; from memory");
  else if (verdict.lel_share >= 0.1)
    add("air-ignition", Severity::caution,
        say("Vapour at the bench reaches %.0f %% of what can be set alight.", 100 * verdict.lel_share),
        fan_text(verdict), "10 % of the lower flammable limit: 29 CFR 1910.146(b), hazardous atmosphere");

  if (verdict.mixture_share >= 10)
    add("air-over-mask", Severity::must_not,
        say("Over a shift the vapours at the bench come to %.1f times their limits: more than a half mask may be used "
            "for.",
            verdict.mixture_share),
        fan_text(verdict), "assigned protection factor 10 of a half mask: 29 CFR 1910.134, table 1");
  else if (verdict.mixture_share >= 1)
    add("air-over-limit", Severity::caution,
        say("Over a shift the vapours at the bench come to %.1f times their limits.", verdict.mixture_share),
        fan_text(verdict), "sum of C/limit: 29 CFR 1910.1000(d)(2)");
  else if (verdict.mixture_share >= 0.5)
    add("air-near-limit", Severity::note,
        say("Over a shift the vapours at the bench come to %.0f %% of their limits.", 100 * verdict.mixture_share),
        "Open a window and the door, and leave the room between coats.",
        "half the limit as action level, as in the substance standards of 29 CFR 1910 subpart Z");

  if (verdict.stel_share >= 1)
    add("air-short-term", Severity::caution,
        say("For a quarter of an hour the vapour at the bench comes to %.1f times its short-term limit.",
            verdict.stel_share),
        "Ventilate while the coat goes on, wear the mask, and leave at once afterwards.",
        "15 min limits of the catalogue's components; where none is set, three times the 8 h limit (ACGIH, from "
        "memory)");

  if (!std::isfinite(verdict.reentry_h))
    add("air-no-reentry", Severity::caution,
        "Within the time looked at, the air at the bench does not come back under its limits.", fan_text(verdict),
        "docs/air.md");
  if (verdict.house_share >= 0.1)
    add("air-into-house", Severity::caution,
        say("Vapour leaks into the house: over 8 hours it comes to %.0f %% of the limits for grown workers.",
            100 * verdict.house_share),
        "Seal the door, and keep the shop under suction with the fan. Children and the ill bear much less.",
        "one tenth of the workplace limit for dwellings: common practice, no source");

  const std::string assumed = names(limits, [](const Limit& l) { return l.twa_assumed && !l.unknown; });
  if (!assumed.empty())
    add("air-no-limit", Severity::caution, "No exposure limit is known for: " + assumed + ". 10 ppm is assumed.",
        "Read section 8 of the safety data sheet and keep to the stricter value.", "safe stand-in, no source");
  const std::string unknown = names(limits, [](const Limit& l) { return l.unknown; });
  if (!unknown.empty())
    add("air-unknown-vapour", Severity::caution,
        "The catalogue does not know: " + unknown + ". It is taken as harmful (10 ppm) and easily set alight.",
        "Add it to the components with its limits.", "safe stand-in, no source");

  if (spray) out.push_back(mist_caution());
  add("air-cartridge", Severity::note,
      "Against these vapours a half mask needs organic vapour cartridges, with P100 (P3) filters in front when you "
      "spray "
      "or sand; a dust mask lets them through. A cartridge gives no sign when it is spent.",
      "Change cartridges by a written schedule and at the first smell, keep them sealed between coats; a beard breaks "
      "the seal. Section 8 of the safety data sheet decides; masks at work need a fit test and a doctor's leave.",
      "29 CFR 1910.134(d)(3)(iii) and (f)");
  const std::string light = names(limits, [](const Limit& l) { return !l.unknown && l.boiling_c < 65; });
  if (!light.empty())
    add("air-cartridge-light", Severity::caution,
        "Ordinary organic vapour cartridges hold these light vapours only for minutes: " + light + ".",
        "Rely on ventilation, or use a filter type made for low boilers, once, or supplied air.",
        "EN 14387, type AX for boiling points below 65 °C; from memory");
  return out;
}

}  // namespace tackcloth::air
