// Cautions that are shown whatever the numbers say.
#include <algorithm>

#include "air/findings.h"
#include "air/vapour.h"

namespace tackcloth::air {

using catalog::Finding;
using catalog::Product;
using catalog::Severity;

namespace {

bool has_solvent(const Product& product) {
  return std::any_of(product.volatiles.begin(), product.volatiles.end(),
                     [](const catalog::Volatile& v) { return v.component != "water" && v.mass_fraction > 0; });
}

// A solvent-borne product without a flash point on record is taken as flammable.
bool burns(const Product& product) {
  // 93 °C (199.4 °F) is the upper end of flammable liquids in 29 CFR 1910.106(a)(19).
  if (product.flash_point_c) return *product.flash_point_c <= 93;
  return product.carrier != catalog::Carrier::water && has_solvent(product);
}

// Drying oils heat up in rags. An oxidising product is taken as self-heating even if its entry forgot to say so.
bool heats(const Product& product) { return product.self_heating || product.cure == catalog::Cure::oxidation; }

bool sprays(const Product& product) {
  const catalog::Application* usual = catalog::usual(product);
  return usual && (usual->method == catalog::Method::aerosol || usual->method == catalog::Method::spray_gun);
}

std::string listed(const std::vector<const Product*>& products, bool (*wanted)(const Product&)) {
  std::string text;
  for (const Product* product : products)
    if (product && wanted(*product) && text.find(product->name) == std::string::npos)
      text += (text.empty() ? "" : ", ") + product->name;
  return text;
}

}  // namespace

std::vector<Finding> usual_cautions(const std::vector<const Product*>& products) {
  std::vector<Finding> out;
  const auto add = [&](const char* rule, Severity severity, std::string reason, std::string mend, std::string source) {
    out.push_back({rule, severity, std::move(reason), std::move(mend), std::move(source), "", ""});
  };
  if (const std::string which = listed(products, heats); !which.empty())
    add("rags-self-heat", Severity::caution,
        "Rags, pads and sanding dust wet with " + which + " can set themselves alight within hours.",
        "Lay rags flat and single outdoors until stiff, or put them under water in a lidded metal can. Never in a heap "
        "or a bin.",
        "self-heating of drying oils: NFPA 921, spontaneous heating; from memory");
  if (const std::string which = listed(products, burns); !which.empty())
    add("no-flames", Severity::caution,
        "The vapour of " + which + " burns; it is heavier than air and creeps along the floor.",
        "No flame, pilot light, heater coil, smoking or sparking tool in the room or next to it; store closed, in the "
        "can it came in.",
        "29 CFR 1910.106");
  if (std::any_of(products.begin(), products.end(), [](const Product* p) { return p && has_solvent(*p); }))
    add("fresh-air", Severity::note, "Solvents leave every coat into the air you breathe, waterborne ones too.",
        "Let air in behind you and out in front; leave the room while coats dry.",
        "29 CFR 1910.1000(e): ventilation before masks");
  if (const std::string which = listed(products, [](const Product& p) { return p.kind == catalog::Kind::stripper; });
      !which.empty())
    add("strippers", Severity::caution, which + " burns skin and eyes and softens what it is spilled on.",
        "Chemical gloves, goggles, covered arms, open air. Never strippers with dichloromethane or NMP at home; what "
        "is scraped off may hold lead.",
        "40 CFR part 751 subpart B; 29 CFR 1910.138");
  if (const std::string which = listed(products, [](const Product& p) { return p.cure == catalog::Cure::crosslink; });
      !which.empty())
    add("sensitiser", Severity::caution,
        "The parts of " + which + " may cause lasting allergy through skin and breath; some hardeners are isocyanates.",
        "Gloves that suit it, no bare skin. No cartridge warns when isocyanate comes through: never spray it without "
        "supplied air; read sections 2 and 8 of the safety data sheet.",
        "common practice, no source");
  if (!listed(products, sprays).empty()) out.push_back(mist_caution());
  if (std::any_of(products.begin(), products.end(), [](const Product* p) { return p && catalog::leaves_film(*p); }))
    add("dust", Severity::note,
        "Sanding dust of wood and of old coats harms the lungs; dust of old coats may hold lead.",
        "Test for lead first, draw the dust off, wear P100 (P3) filters, wipe up damp; never dry-sweep.",
        "29 CFR 1926.62; wood dust: IARC Monographs 100C");
  add("local-codes", Severity::note, "These figures inform; they do not certify.",
      "Local codes, the product's label and safety data sheet, and licensed practice decide.",
      "common practice, no source");
  return out;
}

}  // namespace tackcloth::air
