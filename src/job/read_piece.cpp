#include <algorithm>
#include <cmath>

#include "job/read.h"
#include "job/words.h"
#include "piece/words.h"

namespace tackcloth::job {

namespace {

using piece::Part;
using piece::PartKind;
using piece::Zone;

constexpr std::size_t kLongestSwatch = 160'000;  // bytes of text: 120 kB of picture

// The cloth of a zone as a picture. What is in the picture is for the look room to say.
void read_swatch(reading::Table& table, const Zone& zone, const Part& part, std::vector<Swatch>& swatches) {
  const auto source = table.text("swatch");
  const auto repeat = table.quantity("repeat", units::parse_length_mm, 1, 3000, "a length from 1 mm to 3 m");
  if (!source) {
    if (table.has("repeat"))
      table.problem("repeat", "there is no swatch that could repeat", "a swatch with it", "add swatch, or take it out");
    return;
  }
  if (zone.treatment != piece::Treatment::fabric)
    table.problem("swatch", "a swatch says nothing about " + to_text(zone.treatment), "treatment = \"fabric\"",
                  "take it out, or change the treatment");
  if (source->empty() || source->size() > kLongestSwatch)
    table.problem("swatch", "this is no picture", "a file beside the job file, or a small picture as a data URL",
                  "name the photo of one repeat of the cloth");
  if (!table.has("repeat"))
    table.problem("repeat", "'repeat' is missing here", "a length from 1 mm to 3 m",
                  "measure on the cloth how wide the part in the picture is");
  swatches.push_back({part.id, zone.id, *source, repeat.value_or(0), table.line(), table.column()});
}

Zone read_zone(reading::Table table, const Names& names, const Part& part, std::vector<std::string>& ids,
               PieceOrder& order) {
  Zone zone;
  zone.line = table.line();
  zone.column = table.column();
  zone.id = read_id(table, "zone", ids);
  zone.face = table.need_text("face");
  std::vector<std::string> faces = piece::face_names(part.kind);
  faces.insert(faces.begin(), "all");
  check_name(table, "face", zone.face, "face of a " + to_text(part.kind), faces);
  const auto form = table.choice("form", piece::zone_form_words());
  zone.form = static_cast<piece::ZoneForm>(form.value_or(0));
  if (form || !table.has("form"))
    read_geometry(table, zone);
  else
    for (const std::string& key : geometry_keys()) table.known(key);
  if (!table.has("treatment")) table.need_text("treatment");
  zone.treatment = static_cast<piece::Treatment>(table.choice("treatment", piece::treatment_words()).value_or(0));
  zone.product = table.text("product").value_or("");
  check_name(table, "product", zone.product, "product of the catalogue", names.products);
  zone.color = read_color(table, "color");
  read_swatch(table, zone, part, order.swatches);
  if (const auto cut = table.text("cut_from"))
    order.cut_from.push_back({part.id, zone.id, *cut, table.line(), table.column()});
  zone.coats = static_cast<int>(table.integer("coats", 0, 20).value_or(0));
  zone.wanted = table.texts("wanted");
  for (const std::string& product : zone.wanted)
    check_name(table, "wanted", product, "product of the catalogue", names.products);
  if (zone.wanted.size() > 40)
    table.problem("wanted", "this build-up has more than 40 layers", "at most 40 products", "shorten it");
  table.finish();
  return zone;
}

piece::Substrate read_substrate(reading::Table table, const Names& names) {
  using piece::Material;
  piece::Substrate substrate;
  if (!table.has("material")) table.need_text("material");
  substrate.material = static_cast<Material>(table.choice("material", piece::material_words()).value_or(0));
  substrate.species = table.text("species").value_or("");
  if (substrate.species == "unknown") substrate.species.clear();
  check_name(table, "species", substrate.species, "species of the catalogue", names.species);
  const bool wood = substrate.material == Material::solid_wood || substrate.material == Material::veneer;
  if (!substrate.species.empty() && !wood)
    table.problem("species", to_text(substrate.material) + " has no species", "a species for solid_wood or veneer only",
                  "take species out, or change the material");
  table.known("veneer");
  if (table.has("veneer") && substrate.material != Material::veneer)
    table.problem("veneer", to_text(substrate.material) + " has no veneer", "veneer for material = \"veneer\" only",
                  "take it out, or change the material");
  else if (table.text("veneer").value_or("unknown") != "unknown")
    if (const auto mm = table.quantity("veneer", units::parse_length_mm, 0.05, 10,
                                       "a thickness from 0.05 to 10 mm, as \"0.6 mm\", or \"unknown\""))
      substrate.veneer_um = *mm * 1000;
  table.finish();
  return substrate;
}

void read_sizes(reading::Table& table, Part& part) {
  refuse_strangers(table, size_keys(), size_keys(part.kind), to_text(part.kind));
  const auto length = [&](std::string_view key, double& into) {
    if (const auto mm = read_length(table, key, kLeastMm)) into = *mm;
  };
  length("width", part.width_mm);
  if (table.has("length")) {
    if (table.has("width"))
      table.problem("length", "the length is given twice", "either length or width", "take one of the two out");
    length("length", part.width_mm);
  }
  length("height", part.height_mm);
  length("depth", part.depth_mm);
  length("frame_width", part.frame_width_mm);
  length("wall", part.wall_mm);
  length("girth", part.girth_mm);
  if (table.has("diameter")) {
    length("diameter", part.top_diameter_mm);
    part.foot_diameter_mm = part.top_diameter_mm;
  }
  length("top_diameter", part.top_diameter_mm);
  length("foot_diameter", part.foot_diameter_mm);
  part.square = table.choice("section", {"round", "square"}).value_or(0) == 1;
  part.given_area_m2 = table.quantity("area", units::parse_area_m2, 1e-6, 100, "an area up to 100 m², as \"120 cm2\"");
  const auto rows = table.rows("profile", units::parse_length_mm, 2, 3,
                               "[mm from the top, radius in mm] or [from the top, radius, rise of the arc to here]");
  for (const auto& row : rows) {
    double bulge = 0;
    if (row.size() == 3 && !part.profile.empty()) {
      const double chord = std::hypot(row[0] - part.profile.back().z, row[1] - part.profile.back().r);
      if (!(chord > 0) || std::abs(row[2]) > chord / 2 * (1 + 1e-9))
        table.problem("profile", "an arc of the profile rises more than half its chord", "a rise up to half the chord",
                      "put another point into the arc");
      // tan(sweep / 4) = 2 rise / chord. Down the leg, outwards is to the left of travel.
      else
        bulge = -2 * row[2] / chord;
    }
    part.profile.push_back({row[0], row[1], bulge});
  }
}

Part read_part(reading::Table table, const Names& names, std::vector<std::string>& ids, PieceOrder& order) {
  Part part;
  part.line = table.line();
  part.column = table.column();
  part.id = read_id(table, "part", ids);
  if (!table.has("kind")) table.need_text("kind");
  const auto kind = table.choice("kind", piece::part_kind_words());
  part.kind = static_cast<PartKind>(kind.value_or(static_cast<int>(PartKind::panel)));
  part.count = static_cast<int>(table.integer("count", 1, 1000).value_or(1));
  if (kind)
    read_sizes(table, part);
  else
    for (const std::string& key : size_keys()) table.known(key);
  if (auto substrate = table.table("substrate"))
    part.substrate = read_substrate(*substrate, names);
  else if (!table.has("substrate"))
    table.problem("substrate", "'substrate' is missing here", "what the part is made of",
                  "add substrate = { material = \"solid_wood\", species = \"...\" }");
  part.existing = static_cast<piece::Existing>(
      table.choice("existing", piece::existing_words()).value_or(static_cast<int>(piece::Existing::unknown)));
  part.hidden_faces = table.texts("hidden_faces");
  for (const std::string& face : part.hidden_faces)
    check_name(table, "hidden_faces", face, "face of a " + to_text(part.kind), piece::face_names(part.kind));
  part.damage = table.texts("damage");
  part.has_wiring = table.boolean("has_wiring").value_or(false);
  part.old_glue = table.boolean("old_glue").value_or(false);
  part.stubborn_finish = table.boolean("stubborn_finish").value_or(false);
  part.grimy = table.boolean("grimy").value_or(true);
  part.sand = table.boolean("sand").value_or(true);
  std::vector<std::string> zones;
  for (const reading::Table& row : table.tables("zone"))
    part.zones.push_back(read_zone(row, names, part, zones, order));
  table.finish();
  return part;
}

}  // namespace

PieceOrder read_piece(reading::Table table, const Names& names) {
  PieceOrder order;
  piece::Piece& piece = order.piece;
  // The caller has asked for the id already.
  piece.id = table.text("id").value_or("");
  piece.name = read_line(table, "name", piece.id);
  piece.owner = read_line(table, "owner", "");
  order.owner_address = read_lines(table, "owner_address", 6);
  order.waste_fees = read_waste_fees(table);
  order.agreed = read_money(table, "agreed");
  order.bought = read_bought(table);
  table.known("year");
  if (table.is_text("year")) {
    if (*table.text("year") != "unknown")
      table.problem("year", "this is no year", "a year, as 1936, or \"unknown\"", "write it without quotes");
  } else if (const auto year = table.integer("year", 1000, 2200)) {
    piece.year = static_cast<int>(*year);
  }
  piece.origin = read_line(table, "origin", "");
  if (const auto test = table.choice("lead_test", {"none", "negative", "positive"}); test && *test > 0)
    piece.lead_test_negative = *test == 1;
  piece.two_person_steps = table.texts("two_person_steps");
  for (const std::string& step : piece.two_person_steps)
    check_name(table, "two_person_steps", step, "step", two_person_words());
  piece.footprint_m2 =
      table.quantity("footprint", units::parse_area_m2, 0, 100, "an area up to 100 m², as \"0.5 m2\"").value_or(0);
  piece.resting_units = static_cast<int>(table.integer("resting_units", 1, 1000).value_or(1));
  order.room = table.text("room").value_or(names.rooms.size() == 1 ? names.rooms.front() : "");
  if (order.room.empty() && names.rooms.size() > 1)
    table.problem("room", "it is not said in which room the piece dries", "the id of a room", "add room = \"...\"");
  check_name(table, "room", order.room, "room", names.rooms);
  order.due = table.instant("due");
  order.arrives = table.instant("arrives");
  order.weight = table.number("weight", 0.001, 1000).value_or(1);
  std::vector<std::string> parts;
  for (const reading::Table& row : table.tables("part")) piece.parts.push_back(read_part(row, names, parts, order));
  if (piece.parts.empty())
    table.problem("part", "the piece has no part", "one [[piece.part]] or more", "add [[piece.part]] with an id");
  read_looks(table, names, order);
  read_apart(table, order);
  table.finish();
  return order;
}

}  // namespace tackcloth::job
