#include "catalog/words.h"

#include <algorithm>

#include "catalog/finding.h"
#include "catalog/product.h"

namespace tackcloth::catalog {
namespace {

// "wiping_cloth" in the file, "wiping cloth" on the job sheet.
std::string spoken(std::string word) {
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

template <class Enum>
std::string pick(const std::vector<std::string>& words, Enum value) {
  const auto i = static_cast<std::size_t>(value);
  return i < words.size() ? spoken(words[i]) : std::string("unknown");
}

}  // namespace

const std::vector<std::string>& kind_words() {
  static const std::vector<std::string> words = {
      "cleaner", "degreaser", "stripper", "spirit", "wood_filler", "grain_filler", "stain",       "sealer",
      "primer",  "paint",     "clear",    "wax",    "oil",         "adhesive",     "metal_paint", "consumable"};
  return words;
}

const std::vector<std::string>& binder_words() {
  static const std::vector<std::string> words = {"none",
                                                 "shellac_dewaxed",
                                                 "shellac_waxed",
                                                 "oil",
                                                 "alkyd",
                                                 "urethane_oil",
                                                 "acrylic",
                                                 "acrylic_urethane",
                                                 "nitrocellulose",
                                                 "chalk",
                                                 "mineral",
                                                 "casein",
                                                 "wax",
                                                 "hardwax",
                                                 "epoxy",
                                                 "pva",
                                                 "hide_glue",
                                                 "contact",
                                                 "hot_melt",
                                                 "dye"};
  return words;
}

const std::vector<std::string>& carrier_words() {
  static const std::vector<std::string> words = {"none", "water", "mineral_spirits", "alcohol", "lacquer_thinner"};
  return words;
}

const std::vector<std::string>& cure_words() {
  static const std::vector<std::string> words = {"none", "evaporation", "coalescence", "oxidation", "crosslink"};
  return words;
}

const std::vector<std::string>& method_words() {
  static const std::vector<std::string> words = {"brush",     "roller",  "pad",     "wiping_cloth",
                                                 "spray_gun", "aerosol", "scraper", "by_hand"};
  return words;
}

std::string to_text(Kind kind) { return pick(kind_words(), kind); }
std::string to_text(Method method) { return pick(method_words(), method); }
std::string to_text(Binder binder) { return pick(binder_words(), binder); }
std::string to_text(Carrier carrier) { return pick(carrier_words(), carrier); }
std::string to_text(Cure cure) { return pick(cure_words(), cure); }

std::string to_text(Origin origin) {
  switch (origin) {
    case Origin::source:
      return "source";
    case Origin::common_practice:
      return "common practice";
    case Origin::from_memory:
      return "from memory";
    case Origin::demo:
      return "demo";
  }
  return "unknown";
}

std::string to_text(Severity severity) {
  switch (severity) {
    case Severity::note:
      return "note";
    case Severity::caution:
      return "caution";
    case Severity::must_not:
      return "must-not";
  }
  return "unknown";
}

}  // namespace tackcloth::catalog
