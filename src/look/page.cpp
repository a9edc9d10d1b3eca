#include "look/page.h"

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <set>

#include "color/css.h"
#include "look/swatch.h"
#include "picture/photo.h"
#include "piece/words.h"

namespace tackcloth::look {

namespace {

using nlohmann::ordered_json;

double tidy(double value) { return std::round(value * 1e5) / 1e5; }
template <class Floats>
ordered_json floats(const Floats& values) {
  ordered_json list = ordered_json::array();
  for (const float v : values) list.push_back(tidy(v));
  return list;
}

// IEEE 754 binary16, rounded to nearest; what is too large becomes the largest, what is too small 0.
std::uint16_t half(float value) {
  const auto bits = std::bit_cast<std::uint32_t>(value);
  const auto sign = static_cast<std::uint16_t>(bits >> 16 & 0x8000u);
  const int exponent = static_cast<int>(bits >> 23 & 0xffu) - 127 + 15;
  const std::uint32_t fraction = bits & 0x7fffffu;
  if (exponent <= 0) return sign;
  if (exponent >= 31) return static_cast<std::uint16_t>(sign | 0x7bffu);
  const std::uint32_t packed = (static_cast<std::uint32_t>(exponent) << 10 | fraction >> 13) + (fraction >> 12 & 1u);
  return static_cast<std::uint16_t>(sign | std::min(packed, 0x7bffu));
}

// The grid at half its fineness (it is smooth), as little-endian binary16: for each cell, row by row, light r g b,
// ceiling, slope, offset, 0, 0.
struct Coarse {
  int width = 0, height = 0;
  std::string bytes;
};
Coarse coarse(const picture::Zone& z) {
  Coarse out;
  out.width = (z.grid_width + 1) / 2;
  out.height = (z.grid_height + 1) / 2;
  for (int y = 0; y < out.height; ++y) {
    for (int x = 0; x < out.width; ++x) {
      std::array<float, 8> sum{};
      float count = 0;
      for (int dy = 0; dy < 2; ++dy) {
        for (int dx = 0; dx < 2; ++dx) {
          const int gx = 2 * x + dx, gy = 2 * y + dy;
          if (gx >= z.grid_width || gy >= z.grid_height) continue;
          const auto& c = z.grid[static_cast<std::size_t>(gy) * static_cast<std::size_t>(z.grid_width) +
                                 static_cast<std::size_t>(gx)];
          const std::array<float, 6> v{c.light[0], c.light[1], c.light[2], c.ceiling, c.slope, c.offset};
          for (std::size_t k = 0; k < v.size(); ++k) sum[k] += v[k];
          ++count;
        }
      }
      for (const float v : sum) {
        const std::uint16_t h = half(v / count);
        out.bytes += static_cast<char>(h & 0xffu);
        out.bytes += static_cast<char>(h >> 8);
      }
    }
  }
  return out;
}

ordered_json json_of(const picture::Zone& z, const Coarse& grid) {
  return {{"albedo", {tidy(z.albedo_now.r), tidy(z.albedo_now.g), tidy(z.albedo_now.b)}},
          {"light_guessed", z.light_guessed},
          {"clear_wood", z.clear_wood},
          {"to_shading", floats(z.to_shading)},
          {"to_gloss", floats(z.to_gloss)},
          {"gloss_by_color", tidy(z.gloss_by_color)},
          {"shrink", tidy(z.shrink)},
          {"veil", floats(z.veil)},
          {"log_weights", floats(z.log_weights)},
          {"log_albedo", tidy(z.log_albedo)},
          {"grid_width", grid.width},
          {"grid_height", grid.height}};
}

// Corners of a line of lengths keep a tenth of a millimetre.
ordered_json rows_of(const job::EditRows& rows) {
  ordered_json list = ordered_json::array();
  for (const auto& row : rows) {
    ordered_json numbers = ordered_json::array();
    for (const double v : row) numbers.push_back(tidy(v));
    list.push_back(std::move(numbers));
  }
  return list;
}

// [x, y, bulge] of every edge of every outline.
ordered_json outlines_of(const shape::Region& region) {
  ordered_json list = ordered_json::array();
  for (const shape::Outline& outline : region.outlines) {
    ordered_json edges = ordered_json::array();
    for (const shape::Edge& e : outline.edges) edges.push_back({e.to.x, e.to.y, e.bulge});
    list.push_back(std::move(edges));
  }
  return list;
}

// The flat faces that are seen: what a zone can be drawn on.
ordered_json faces_of(const piece::Piece& piece) {
  ordered_json list = ordered_json::array();
  for (const piece::Part& part : piece.parts) {
    for (const piece::Face& face : part.faces) {
      if (face.hidden || face.region.outlines.empty()) continue;
      list.push_back({{"part", part.id},
                      {"face", face.name},
                      {"count", part.count},
                      {"width_mm", face.width_mm},
                      {"height_mm", face.height_mm},
                      {"outlines", outlines_of(face.region)}});
    }
  }
  return list;
}

std::string text_of(const job::Change& c) {
  if (!c.takes_back.empty()) return "taken back";
  if (!c.chooses.empty()) return "one of two versions chosen";
  if (c.put) {
    const std::string what = c.put->chapter == job::Chapter::piece ? "piece " + c.put->id : job::name_of(*c.put);
    return what + (c.put->body.empty() ? " taken out" : c.contested ? " changed by two at once" : " changed");
  }
  if (c.edit.remove) return "zone " + c.edit.zone + " taken out";
  std::string text = c.edit.zone + ":";
  const char* before = " ";
  for (const auto& [key, value] : c.edit.set) {
    text += before;
    before = ", ";
    for (const char letter : key) text += letter == '_' ? ' ' : letter;
    if (const auto* words = std::get_if<std::string>(&value))
      text += " " + (words->starts_with("data:") ? std::string("chosen") : *words);
    else if (const auto* number = std::get_if<double>(&value))
      text += " " + std::to_string(std::lround(*number));
    else if (const auto* rows = std::get_if<job::EditRows>(&value))
      text += " of " + std::to_string(rows->size()) + (rows->size() == 1 ? " point" : " points");
    else
      text += " left out";
  }
  return text;
}

}  // namespace

namespace {

void put_split(ordered_json& json, const picture::Zone& split, const std::string& path, Page& page) {
  Coarse grid = coarse(split);
  json["split"] = json_of(split, grid);
  json["grid"] = "/api/picture/" + path + ".grid";
  page.pictures[path + ".grid"] = std::move(grid.bytes);
}

// Every cloth that has a picture, by part and zone; why one has not goes to the zone itself.
Result<ordered_json> swatches_of(const job::Job& job, const job::PieceOrder& order, const std::string& base,
                                 Page& page) {
  ordered_json list = ordered_json::array();
  for (const job::Swatch& swatch : order.swatches) {
    ordered_json one{{"part", swatch.part}, {"zone", swatch.zone}, {"repeat_mm", swatch.repeat_mm}};
    if (const auto image = load_swatch(job.file, swatch)) {
      auto jpeg = picture::encode_jpeg(*image);
      if (!jpeg) return tl::unexpected(jpeg.error());
      const std::string path = base + "swatch-" + swatch.part + "-" + swatch.zone + ".jpg";
      page.pictures[path] = std::move(*jpeg);
      one["picture"] = "/api/picture/" + path;
      one["trouble"] = "";
    } else {
      one["picture"] = "";
      one["trouble"] = image.error().what;
    }
    list.push_back(std::move(one));
  }
  return list;
}

}  // namespace

Result<Page> page_of(const job::Job& job, std::string_view toml, const catalog::Catalog& catalog,
                     const color::Palette& palette, const std::vector<job::Change>& changes, long long version,
                     int longest) {
  Page page;
  ordered_json pieces = ordered_json::array();
  for (const job::PieceOrder& order : job.pieces) {
    ordered_json views = ordered_json::array(), zones = ordered_json::array(), looks = ordered_json::array();
    const Photographed made = photographed(job, order, longest);
    const ordered_json notes = made.trouble;
    for (std::size_t k = 0; k < made.views.size(); ++k) {
      const View& view = made.views[k];
      const std::string base = std::to_string(version) + "/" + order.piece.id + "/" + std::to_string(k);
      auto jpeg = picture::encode_jpeg(view.image);
      if (!jpeg) return tl::unexpected(jpeg.error());
      page.pictures[base + ".jpg"] = std::move(*jpeg);
      ordered_json on_view = ordered_json::array();
      for (const ZoneOnView& on : view.zones) {
        ordered_json zone{{"zone", on.zone}, {"trouble", on.trouble}};
        if (on.trouble.empty()) put_split(zone, on.split, base + "-" + on.zone, page);
        on_view.push_back(std::move(zone));
      }
      ordered_json corners = ordered_json::array();
      for (const auto& c : view.corners) corners.push_back({tidy(c.x), tidy(c.y)});
      views.push_back({{"photo", view.photo},
                       {"part", view.part},
                       {"face", view.face},
                       {"width", view.image.width},
                       {"height", view.image.height},
                       {"width_mm", view.width_mm},
                       {"height_mm", view.height_mm},
                       {"corners", std::move(corners)},
                       {"picture", "/api/picture/" + base + ".jpg"},
                       {"notes", view.notes},
                       {"zones", std::move(on_view)}});
      // For a zone that is only being drawn.
      if (view.split) put_split(views.back(), *view.split, base, page);
    }
    auto swatches = swatches_of(job, order, std::to_string(version) + "/" + order.piece.id + "/", page);
    if (!swatches) return tl::unexpected(swatches.error());
    for (const ZoneColor& c : colors_of(order.piece, catalog, palette)) {
      ordered_json zone{
          {"part", c.part}, {"zone", c.zone}, {"face", c.face}, {"treatment", c.treatment}, {"color", c.word}};
      zone["lab"] = c.lab ? ordered_json({c.lab->l, c.lab->a, c.lab->b}) : ordered_json();
      zone["from"] = c.from;
      if (c.gain) zone["gain"] = *c.gain;
      zone["hex"] = c.lab ? ordered_json(color::to_hex(*c.lab)) : ordered_json();
      for (const piece::Part& part : order.piece.parts) {
        for (const piece::Zone& z : part.zones) {
          if (part.id != c.part || z.id != c.zone) continue;
          zone["form"] = to_text(z.form);
          zone["area_m2"] = z.area_m2;
          zone["tape_mm"] = z.tape_mm;
        }
      }
      ordered_json keys = ordered_json::object();
      for (const auto& [key, value] : job::written_keys(toml, order.piece.id, c.part, c.zone)) {
        if (key == "swatch") continue;  // a picture: among the swatches
        if (const auto* text = std::get_if<std::string>(&value)) keys[key] = *text;
        if (const auto* rows = std::get_if<job::EditRows>(&value)) keys[key] = rows_of(*rows);
        if (const auto* number = std::get_if<double>(&value)) keys[key] = tidy(*number);
      }
      zone["keys"] = std::move(keys);
      zones.push_back(std::move(zone));
    }
    for (const job::Look& look : order.looks) {
      ordered_json parts = ordered_json::array();
      for (const job::LookZone& z : look.zones)
        parts.push_back({{"part", z.part},
                         {"zone", z.zone},
                         {"treatment", z.treatment},
                         {"product", z.product},
                         {"color", z.color}});
      looks.push_back({{"id", look.id}, {"name", look.name}, {"zones", std::move(parts)}});
    }
    pieces.push_back({{"id", order.piece.id},
                      {"name", order.piece.name},
                      {"notes", notes},
                      {"faces", faces_of(order.piece)},
                      {"swatches", std::move(*swatches)},
                      {"views", std::move(views)},
                      {"zones", std::move(zones)},
                      {"looks", std::move(looks)}});
  }
  ordered_json list = ordered_json::array();
  std::set<std::string>
      apart;  // what is written while a piece is apart, and pins and the shelf, say nothing about its look
  for (const job::Change& c : changes) {
    if (c.apart || c.pin || c.reading || c.stock || apart.contains(c.takes_back) || apart.contains(c.chooses)) {
      apart.insert(c.key);
      continue;
    }
    list.push_back({{"key", c.key},
                    {"when", c.when},
                    {"piece", c.edit.piece},
                    {"text", text_of(c)},
                    {"takes_back", c.takes_back},
                    {"stands", c.stands}});
  }
  page.json = ordered_json{{"pieces", std::move(pieces)}, {"changes", std::move(list)}}.dump(
      -1, ' ', false, ordered_json::error_handler_t::replace);
  return page;
}

}  // namespace tackcloth::look
