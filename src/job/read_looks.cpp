#include <algorithm>
#include <cmath>

#include "color/css.h"
#include "job/read.h"
#include "piece/words.h"

namespace tackcloth::job {

namespace {

constexpr std::size_t kMostPhotos = 50;
constexpr double kMostPixels = 100000;

const piece::Part* part_of(const piece::Piece& piece, const std::string& id) {
  const auto found = std::find_if(piece.parts.begin(), piece.parts.end(), [&](const auto& p) { return p.id == id; });
  return found == piece.parts.end() ? nullptr : &*found;
}

std::vector<std::string> part_ids(const piece::Piece& piece) {
  std::vector<std::string> ids;
  for (const piece::Part& part : piece.parts) ids.push_back(part.id);
  return ids;
}

// Left top, right top, right bottom, left bottom: on a picture (y down) each turn is to the right.
bool turns_one_way(const std::vector<double>& c) {
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t j = (i + 1) % 4, k = (i + 2) % 4;
    const double ax = c[2 * j] - c[2 * i], ay = c[2 * j + 1] - c[2 * i + 1];
    const double bx = c[2 * k] - c[2 * j], by = c[2 * k + 1] - c[2 * j + 1];
    if (!(ax * by - ay * bx > 1e-6 * (std::hypot(ax, ay) * std::hypot(bx, by) + 1))) return false;
  }
  return true;
}

void read_light(reading::Table& table, Photo& photo) {
  static const std::vector<std::string> targets{"grey_card", "chart"};
  if (const auto target = table.choice("lies_in_it", targets))
    photo.lies_in_it = targets[static_cast<std::size_t>(*target)];
  photo.card_at = table.numbers("card_at");
  if (!table.has("card_at")) return;
  const bool seen = photo.card_at.size() == 2 && std::all_of(photo.card_at.begin(), photo.card_at.end(), [](double v) {
                      return std::isfinite(v) && v >= 0 && v < kMostPixels;
                    });
  if (!seen)
    table.problem("card_at", "this is not a place in the photo", "x and y in pixels from the left top",
                  "card_at = [1180, 640]");
  else if (photo.lies_in_it != "grey_card")
    table.problem("card_at", "a place on a card, but no card lies in it", "lies_in_it = \"grey_card\"",
                  "say that a grey card lies in the picture, or take the place out");
}

Photo read_photo(reading::Table table, const piece::Piece& piece, std::vector<std::string>& ids) {
  Photo photo;
  photo.line = table.line();
  photo.column = table.column();
  photo.id = read_id(table, "photo", ids);
  photo.file = table.need_text("file");
  if (!table.has("part") && !table.has("face") && !table.has("corners")) {
    table.finish();  // of the piece as it was, not of one face
    return photo;
  }
  photo.part = table.need_text("part");
  check_name(table, "part", photo.part, "part of this piece", part_ids(piece));
  photo.face = table.need_text("face");
  if (const piece::Part* part = part_of(piece, photo.part))
    check_name(table, "face", photo.face, "face of a " + to_text(part->kind), piece::face_names(part->kind));
  const auto rows = table.rows("corners", units::parse_length_mm, 2, 2, "[x, y] in pixels from the left top");
  for (const auto& row : rows) {
    for (const double value : row) photo.corners.push_back(value);
  }
  const auto all_seen = std::all_of(photo.corners.begin(), photo.corners.end(),
                                    [](double v) { return std::isfinite(v) && std::abs(v) < kMostPixels; });
  if (rows.size() != 4 || !all_seen) {
    table.problem("corners", "the corners of the face are not there",
                  "four points in pixels: left top, right top, right bottom, left bottom",
                  "corners = [[130, 170], [1490, 150], [1500, 880], [120, 900]]");
    photo.corners.clear();
  } else if (!turns_one_way(photo.corners)) {
    table.problem("corners", "these corners cross, or lie in line",
                  "the face's left top, right top, right bottom and left bottom, in this order",
                  "look at the picture and put them in order; y grows downwards");
  }
  photo.color_now = read_color(table, "color_now");
  if (!photo.color_now.empty() && !color::parse_color(photo.color_now))
    table.problem("color_now", "this is a word, not a measured colour", "a colour such as lab(45 18 30) or #8a5a3c",
                  "measure it, or leave it out");
  static const std::vector<std::string> sheens{"matt", "satin", "gloss"};
  if (const auto sheen = table.choice("sheen_now", sheens)) photo.sheen_now = sheens[static_cast<std::size_t>(*sheen)];
  read_light(table, photo);
  table.finish();
  return photo;
}

LookZone read_look_zone(reading::Table table, const Names& names, const piece::Piece& piece) {
  LookZone zone;
  zone.line = table.line();
  zone.column = table.column();
  zone.part = table.need_text("part");
  check_name(table, "part", zone.part, "part of this piece", part_ids(piece));
  zone.zone = table.need_text("zone");
  if (const piece::Part* part = part_of(piece, zone.part)) {
    std::vector<std::string> ids;
    for (const piece::Zone& z : part->zones) ids.push_back(z.id);
    check_name(table, "zone", zone.zone, "zone of part '" + zone.part + "'", ids);
  }
  if (const auto treatment = table.choice("treatment", piece::treatment_words()))
    zone.treatment = piece::treatment_words()[static_cast<std::size_t>(*treatment)];
  zone.product = table.text("product").value_or("");
  check_name(table, "product", zone.product, "product of the catalogue", names.products);
  zone.color = read_color(table, "color");
  if (zone.treatment.empty() && zone.product.empty() && zone.color.empty())
    table.problem("zone", "nothing changes in this zone", "a color, a treatment or a product",
                  "add one, or take it out");
  table.finish();
  return zone;
}

}  // namespace

std::string read_color(reading::Table& table, std::string_view key) {
  std::string color = read_line(table, key, "");
  if (color.find('(') != std::string::npos || color.starts_with("#")) {
    if (const auto read = color::parse_color(color); !read)
      table.problem(key, read.error().what, read.error().expected, read.error().remedy);
  }
  return color;
}

void read_looks(reading::Table& table, const Names& names, PieceOrder& order) {
  std::vector<std::string> photos, looks;
  for (const reading::Table& row : table.tables("photo")) {
    if (order.photos.size() == kMostPhotos) {
      table.problem("photo", "there are more than 50 photos of this piece", "at most 50", "keep the best");
      break;
    }
    order.photos.push_back(read_photo(row, order.piece, photos));
  }
  for (reading::Table row : table.tables("look")) {
    if (order.looks.size() == kMostLooks) {
      table.problem("look", "there are more than 12 looks for this piece", "at most 12 side by side", "drop some");
      break;
    }
    Look look;
    look.id = read_id(row, "look", looks);
    look.name = read_line(row, "name", look.id);
    for (const reading::Table& zone : row.tables("zone"))
      look.zones.push_back(read_look_zone(zone, names, order.piece));
    if (look.zones.empty())
      row.problem("zone", "this look changes no zone", "one [[piece.look.zone]] or more", "add one with part and zone");
    row.finish();
    order.looks.push_back(std::move(look));
  }
  order.chosen_look = table.text("chosen_look").value_or("");
  check_name(table, "chosen_look", order.chosen_look, "look of this piece", looks);
}

}  // namespace tackcloth::job
