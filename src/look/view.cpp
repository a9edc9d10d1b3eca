#include "look/view.h"

#include <algorithm>
#include <cmath>

#include "color/css.h"
#include "look/light.h"
#include "look/swatch.h"
#include "picture/fabric.h"
#include "picture/photo.h"

namespace tackcloth::look {

namespace {

using piece::Existing;

bool shows_grain(const piece::Part& part) {
  const bool wood =
      part.substrate.material == piece::Material::solid_wood || part.substrate.material == piece::Material::veneer;
  switch (part.existing) {
    case Existing::bare:
    case Existing::shellac:
    case Existing::lacquer:
    case Existing::varnish:
    case Existing::oil:
    case Existing::wax:
      return wood;
    case Existing::unknown:  // nothing says that it is painted
      return wood;
    case Existing::paint_oil:
    case Existing::paint_water:
    case Existing::laminate:
    case Existing::bare_metal:
      return false;
  }
  return false;
}

const piece::Part* part_of(const piece::Piece& piece, const std::string& id) {
  for (const piece::Part& part : piece.parts) {
    if (part.id == id) return &part;
  }
  return nullptr;
}

const piece::Face* face_of(const piece::Part& part, const std::string& name) {
  for (const piece::Face& face : part.faces) {
    if (face.name == name && !face.region.outlines.empty()) return &face;
  }
  return nullptr;
}

// The zone as it lies on this face; empty when it does not. A zone of all faces covers this one too, less what has a
// zone of its own.
shape::Region region_on(const piece::Part& part, const piece::Face& face, const piece::Zone& zone) {
  if (zone.face == face.name) return zone.region.outlines.empty() ? face.region : zone.region;
  if (zone.face != "all") return {};
  shape::Region rest = face.region;
  for (const piece::Zone& other : part.zones) {
    if (other.face != face.name) continue;
    if (other.region.outlines.empty()) return {};
    rest = shape::subtract(rest, other.region);
  }
  return rest;
}

picture::Cloth plain_cloth(const color::Lab& lab, picture::Cloth cloth) {
  const color::Srgb8 c = color::srgb8_from_lab(lab);
  cloth.swatch = picture::Image(4, 4);
  for (std::size_t i = 0; i < cloth.swatch.pixels(); ++i) {
    cloth.swatch.rgb[3 * i] = c.r;
    cloth.swatch.rgb[3 * i + 1] = c.g;
    cloth.swatch.rgb[3 * i + 2] = c.b;
  }
  cloth.repeat_mm = 100;
  return cloth;
}

void put_swatch(ZoneOnView& on, const job::PieceOrder& order, const std::string& job_file, const std::string& part) {
  for (const job::Swatch& swatch : order.swatches) {
    if (swatch.part != part || swatch.zone != on.zone) continue;
    auto image = load_swatch(job_file, swatch);
    if (image) {
      on.swatch = std::move(*image);
      on.repeat_mm = swatch.repeat_mm;
    } else {
      on.swatch_trouble = image.error().what;
    }
  }
}

void put_zones(View& view, const job::PieceOrder& order, const std::string& job_file, const piece::Part& part,
               const piece::Face& face, const picture::Options& options) {
  for (const piece::Zone& zone : part.zones) {
    const shape::Region region = region_on(part, face, zone);
    if (region.outlines.empty()) continue;
    ZoneOnView on;
    on.zone = zone.id;
    on.mask = picture::zone_on_photo(region, view.flat, view.image.width, view.image.height);
    put_swatch(on, order, job_file, part.id);
    auto split = picture::separate(view.image, on.mask, options);
    if (split) {
      on.split = std::move(*split);
    } else {
      on.trouble = split.error().what;
      on.mask = {};
    }
    view.zones.push_back(std::move(on));
  }
}

}  // namespace

Result<View> view_of(const job::Job& job, const job::PieceOrder& order, const job::Photo& photo, int longest) {
  const auto wrong = [&](std::string what, std::string expected, std::string remedy) {
    return tl::unexpected(Problem{job.file, photo.line, photo.column, "photo '" + photo.id + "': " + std::move(what),
                                  std::move(expected), std::move(remedy)});
  };
  const piece::Part* part = part_of(order.piece, photo.part);
  const piece::Face* face = part ? face_of(*part, photo.face) : nullptr;
  if (!face) return wrong("face '" + photo.face + "' is not flat", "a flat face of the part", "choose another face");
  const std::filesystem::path path = std::filesystem::path(job.file).parent_path() / photo.file;
  auto loaded = picture::load(path);
  if (!loaded) return tl::unexpected(loaded.error());
  View view;
  view.piece = order.piece.id;
  view.photo = photo.id;
  view.part = photo.part;
  view.face = photo.face;
  view.width_mm = face->width_mm;
  view.height_mm = face->height_mm;
  view.notes = loaded->notes;
  const int full_width = loaded->image.width, full_height = loaded->image.height;
  const Light light = light_of(loaded->image, photo);
  view.notes.push_back(light.note);
  view.image = picture::shrink(loaded->image, longest);
  if (light.known) view.image = picture::corrected(view.image, light.calibration);
  const double sx = static_cast<double>(view.image.width) / full_width,
               sy = static_cast<double>(view.image.height) / full_height;
  for (std::size_t k = 0; k < 4; ++k) view.corners[k] = {photo.corners[2 * k] * sx, photo.corners[2 * k + 1] * sy};
  const auto flat = picture::face_from_corners(view.corners, face->width_mm, face->height_mm);
  if (!flat) return wrong(flat.error().what, flat.error().expected, flat.error().remedy);
  picture::Options options;
  options.present = shows_grain(*part) ? picture::Present::clear_wood : picture::Present::paint;
  options.sheen = photo.sheen_now == "matt"    ? picture::Sheen::matt
                  : photo.sheen_now == "satin" ? picture::Sheen::satin
                  : photo.sheen_now == "gloss" ? picture::Sheen::gloss
                                               : picture::Sheen::unknown;
  if (const auto now = color::parse_color(photo.color_now); !photo.color_now.empty() && now) {
    options.from = *now;
  } else {
    view.notes.push_back(
        "The colour of the surface as it is was not measured: how bright the light is, is a guess. "
        "Trust the hue of a new colour, not its depth; a sample board decides.");
  }
  view.flat = *flat;
  put_zones(view, order, job.file, *part, *face, options);
  const picture::Mask whole = picture::zone_on_photo(face->region, *flat, view.image.width, view.image.height);
  if (auto split = picture::separate(view.image, whole, options)) view.split = std::move(*split);
  return view;
}

Result<View> drawing_of(const job::Job& job, const job::PieceOrder& order, int longest) {
  const piece::Part* part = nullptr;
  const piece::Face* face = nullptr;
  std::size_t most = 0;
  double largest = 0;
  for (const piece::Part& p : order.piece.parts) {
    for (const piece::Face& f : p.faces) {
      if (f.hidden || f.region.outlines.empty() || !(f.width_mm > 0) || !(f.height_mm > 0)) continue;
      const auto zones = static_cast<std::size_t>(std::count_if(
          p.zones.begin(), p.zones.end(), [&](const auto& z) { return z.face == f.name || z.face == "all"; }));
      const double area = f.width_mm * f.height_mm;
      if (zones > most || (zones == most && zones > 0 && area > largest)) {
        most = zones;
        largest = area;
        part = &p;
        face = &f;
      }
    }
  }
  if (!face)
    return tl::unexpected(Problem{"", 0, 0, "piece '" + order.piece.id + "' has no flat face with a zone on it",
                                  "a photo of it", "add [[piece.photo]]"});
  View view;
  view.piece = order.piece.id;
  view.part = part->id;
  view.face = face->name;
  view.width_mm = face->width_mm;
  view.height_mm = face->height_mm;
  // A margin of a twelfth all around, 4:3 at the widest.
  const double scale = longest / std::max(face->width_mm * 7 / 6, face->height_mm * 7 / 6);
  const int width = std::max(16, static_cast<int>(std::lround(face->width_mm * 7 / 6 * scale))),
            height = std::max(16, static_cast<int>(std::lround(face->height_mm * 7 / 6 * scale)));
  view.image = picture::Image(width, height);
  std::fill(view.image.rgb.begin(), view.image.rgb.end(), std::uint8_t{236});
  const double left = face->width_mm / 12 * scale, top = face->height_mm / 12 * scale;
  const double right = left + face->width_mm * scale, bottom = top + face->height_mm * scale;
  view.corners = {{{left, top}, {right, top}, {right, bottom}, {left, bottom}}};
  const auto flat = picture::face_from_corners(view.corners, face->width_mm, face->height_mm);
  if (!flat) return tl::unexpected(flat.error());
  // The ground: a mid tone whose colour is known, so that the light is.
  const color::Lab ground{58, 10, 24};
  const color::Srgb8 c = color::srgb8_from_lab(ground);
  const picture::Mask all = picture::zone_on_photo(face->region, *flat, width, height);
  for (std::size_t i = 0; i < all.cover.size(); ++i) {
    const double k = all.cover[i] / 255.0;
    const double rgb[3] = {static_cast<double>(c.r), static_cast<double>(c.g), static_cast<double>(c.b)};
    for (std::size_t ch = 0; ch < 3; ++ch)
      view.image.rgb[3 * i + ch] =
          static_cast<std::uint8_t>(std::lround((1 - k) * view.image.rgb[3 * i + ch] + k * rgb[ch]));
  }
  picture::Options options;
  options.from = ground;
  view.flat = *flat;
  put_zones(view, order, job.file, *part, *face, options);
  view.notes.push_back("A drawing, not a photo: shapes and colours are right, the wood and its light are not shown.");
  return view;
}

Photographed photographed(const job::Job& job, const job::PieceOrder& order, int longest) {
  Photographed found;
  for (const job::Photo& photo : order.photos) {
    if (photo.part.empty()) continue;  // for the record
    auto view = view_of(job, order, photo, longest);
    if (view)
      found.views.push_back(std::move(*view));
    else
      found.trouble.push_back(view.error().what + " (" + view.error().remedy + ")");
  }
  return found;
}

Result<std::vector<View>> views_of(const job::Job& job, const job::PieceOrder& order, int longest) {
  Photographed found = photographed(job, order, longest);
  if (found.views.empty()) {
    auto drawing = drawing_of(job, order, longest);
    if (!drawing) return tl::unexpected(drawing.error());
    found.views.push_back(std::move(*drawing));
  }
  auto& notes = found.views.front().notes;
  notes.insert(notes.end(), found.trouble.begin(), found.trouble.end());
  return std::move(found.views);
}

picture::Image painted(const View& view, const std::vector<ZoneColor>& colors, int threads) {
  picture::Image image = view.image;
  for (const ZoneOnView& on : view.zones) {
    if (!on.trouble.empty()) continue;
    for (const ZoneColor& color : colors) {
      if (color.part != view.part || color.zone != on.zone) continue;
      picture::Wanted wanted;
      picture::Cloth cloth{{}, on.repeat_mm, view.flat, view.image.width, view.image.height};
      if (color.treatment == "fabric") {
        // A cloth without a picture is a plain one of its colour: a swatch of one pixel's worth.
        if (on.swatch)
          cloth.swatch = *on.swatch;
        else if (color.lab)
          cloth = plain_cloth(*color.lab, std::move(cloth));
        else
          continue;
        wanted.surface = picture::Surface::cloth;
        wanted.cloth = &cloth;
      } else if (!color.lab) {
        continue;
      } else if (color.from != "given" && !view.photo.empty()) {
        if (!color.gain) continue;  // a photo of a finished surface shows the wood itself
        wanted.surface = picture::Surface::clear;
        wanted.gain = *color.gain;
      } else {
        wanted.surface = color.treatment == "metal_spray" ? picture::Surface::metal : picture::Surface::paint;
        wanted.to = *color.lab;
      }
      image = picture::repaint(image, on.mask, on.split, wanted, threads);
    }
  }
  return image;
}

}  // namespace tackcloth::look
