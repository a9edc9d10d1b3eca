#include "job/words.h"

namespace tackcloth::job {

using piece::PartKind;
using piece::ZoneForm;

const std::vector<std::string>& size_keys() {
  static const std::vector<std::string> keys = {"width",    "height",       "depth",         "length",  "frame_width",
                                                "diameter", "top_diameter", "foot_diameter", "section", "profile",
                                                "girth",    "wall",         "area"};
  return keys;
}

std::vector<std::string> size_keys(PartKind kind) {
  switch (kind) {
    case PartKind::box:
    case PartKind::drawer:
      return {"width", "height", "depth", "wall"};
    case PartKind::panel:
    case PartKind::door:
    case PartKind::fabric_panel:
      return {"width", "height", "depth"};
    case PartKind::frame:
      return {"width", "height", "depth", "frame_width"};
    case PartKind::straight_leg:
      return {"width", "height", "depth", "diameter"};
    case PartKind::tapered_leg:
      return {"height", "top_diameter", "foot_diameter", "section"};
    case PartKind::turned_leg:
      return {"height", "profile"};
    case PartKind::rail:
      return {"length", "width", "height", "depth"};
    case PartKind::moulding:
      return {"length", "width", "girth"};
    case PartKind::hardware:
      return {"width", "height", "depth", "area"};
  }
  return {};
}

const std::vector<std::string>& geometry_keys() {
  static const std::vector<std::string> keys = {"center_x", "center_y",  "base_y",    "radius", "opens",
                                                "left",     "bottom",    "width",     "rise",   "spring_height",
                                                "from",     "from_foot", "height",    "points", "corner_radius",
                                                "through",  "angle",     "from_edge", "mirror"};
  return keys;
}

std::vector<std::string> geometry_keys(ZoneForm form) {
  switch (form) {
    case ZoneForm::whole:
    case ZoneForm::rest:
      return {};
    case ZoneForm::half_circle:
      return {"center_x", "base_y", "radius", "opens", "mirror"};
    case ZoneForm::arch:
      return {"left", "bottom", "width", "spring_height", "rise", "radius", "mirror"};
    case ZoneForm::circle:
      return {"center_x", "center_y", "radius", "mirror"};
    case ZoneForm::band:
      return {"from", "from_foot", "height", "mirror"};
    case ZoneForm::polygon:
      return {"points", "mirror"};
    case ZoneForm::rounded:
      return {"left", "bottom", "width", "height", "corner_radius", "mirror"};
    case ZoneForm::stripe:
      return {"through", "angle", "width", "mirror"};
    case ZoneForm::border:
      return {"from_edge", "width"};
  }
  return {};
}

const std::vector<std::string>& mirror_words() {
  static const std::vector<std::string> words = {"left_right", "up_down", "both"};
  return words;
}

const std::vector<std::string>& two_person_words() {
  static const std::vector<std::string> words = {
      "carry",          "take_in",     "take_apart", "lead_test", "wash",     "degrease",    "dry_out",
      "scrape_glue",    "strip",       "neutralize", "sand",      "dust_off", "spirit_wipe", "repair",
      "fill",           "grain_fill",  "stain",      "barrier",   "seal",     "prime",       "mask",
      "paint",          "clear",       "oil",        "wax",       "scuff",    "metal_clean", "metal_coat",
      "fabric_dry_fit", "fabric_glue", "test_board", "put_back",  "inspect",  "hand_over"};
  return words;
}

const std::vector<std::string>& number_words() {
  static const std::vector<std::string> words = {"1,234.50", "1.234,50", "1 234,50", "1 234.50"};
  return words;
}

const std::vector<std::string>& date_words() {
  static const std::vector<std::string> words = {"day_first", "month_first", "year_first"};
  return words;
}

}  // namespace tackcloth::job
