// A face of a piece as a picture on which its zones can be painted: a photo, or a plain drawing where there is none.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "look/look.h"
#include "picture/image.h"
#include "picture/perspective.h"
#include "picture/recolor.h"

namespace tackcloth::look {

struct ZoneOnView {
  std::string zone;
  picture::Mask mask;
  picture::Zone split;                   // what the light does there
  std::string trouble;                   // why the zone cannot be painted on this photo; then mask and split are empty
  std::optional<picture::Image> swatch;  // one repeat of its cloth
  double repeat_mm = 0;
  std::string swatch_trouble;
};

struct View {
  std::string piece, photo, part, face;  // photo: id, empty for a drawing
  picture::Image image;
  std::array<shape::Point, 4> corners;  // of the face, in pixels of `image`
  double width_mm = 0, height_mm = 0;
  picture::Face flat;  // the same as a map
  // What the light does on the face as a whole: for a zone that is only being drawn. Nothing where it cannot be told.
  std::optional<picture::Zone> split;
  std::vector<ZoneOnView> zones;   // those that lie flat on the face
  std::vector<std::string> notes;  // how far to trust the colours
};

// Loads the photo (relative to the job file), shrinks it to `longest` pixels and works out every zone of its face. A
// part with `existing` bare, shellac, lacquer, varnish, oil or wax is wood to look at: its grain goes under paint.
Result<View> view_of(const job::Job& job, const job::PieceOrder& order, const job::Photo& photo, int longest);
// Straight from the front, in flat light: for a piece without photos. The flat face with the most zones.
Result<View> drawing_of(const job::Job& job, const job::PieceOrder& order, int longest);
// Every photo that can be used, and why the others cannot.
struct Photographed {
  std::vector<View> views;
  std::vector<std::string> trouble;
};
Photographed photographed(const job::Job& job, const job::PieceOrder& order, int longest);
// All photos, or the drawing when there are none. A photo that cannot be read becomes a note of the first view.
Result<std::vector<View>> views_of(const job::Job& job, const job::PieceOrder& order, int longest);

// The view with each zone that has a colour or a cloth in it. Bare wood that is to be cleared is deepened as the
// palette says; under an old finish it stays as the photo shows it, and so does a zone that is kept.
picture::Image painted(const View& view, const std::vector<ZoneColor>& colors, int threads = 2);

}  // namespace tackcloth::look
