#include "piece/words.h"

namespace tackcloth::piece {

const std::vector<std::string>& part_kind_words() {
  static const std::vector<std::string> words = {"box",    "panel",        "frame",       "door",
                                                 "drawer", "straight_leg", "tapered_leg", "turned_leg",
                                                 "rail",   "moulding",     "hardware",    "fabric_panel"};
  return words;
}

const std::vector<std::string>& material_words() {
  static const std::vector<std::string> words = {"solid_wood", "veneer", "laminate", "metal", "fabric", "board"};
  return words;
}

const std::vector<std::string>& existing_words() {
  static const std::vector<std::string> words = {"bare", "unknown",   "shellac",     "lacquer",  "varnish",   "oil",
                                                 "wax",  "paint_oil", "paint_water", "laminate", "bare_metal"};
  return words;
}

const std::vector<std::string>& treatment_words() {
  static const std::vector<std::string> words = {
      "keep", "clear", "stain_and_clear", "paint", "paint_inside", "metal_spray", "fabric", "oil", "wax", "none"};
  return words;
}

const std::vector<std::string>& zone_form_words() {
  static const std::vector<std::string> words = {"whole",   "half_circle", "arch",    "circle", "band",
                                                 "polygon", "rest",        "rounded", "stripe", "border"};
  return words;
}

namespace {
template <class Enum>
std::string word(const std::vector<std::string>& words, Enum value) {
  const auto at = static_cast<std::size_t>(value);
  return at < words.size() ? words[at] : std::string();
}
}  // namespace

std::string to_text(PartKind kind) { return word(part_kind_words(), kind); }
std::string to_text(Material material) { return word(material_words(), material); }
std::string to_text(Existing existing) { return word(existing_words(), existing); }
std::string to_text(Treatment treatment) { return word(treatment_words(), treatment); }
std::string to_text(ZoneForm form) { return word(zone_form_words(), form); }

}  // namespace tackcloth::piece
