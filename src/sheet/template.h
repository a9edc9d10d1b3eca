// The full-size template of one zone: pages to print at 100 %, lay over each other at their marks, and cut.
#pragma once

#include <string>
#include <string_view>

#include "job/job.h"
#include "shape/shape.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct ZoneTemplate {
  std::string piece, part, zone, face;  // as they are called on paper
  shape::Region region, face_region;    // mm, from the left bottom corner of the face
  double area_m2 = 0, tape_mm = 0;      // of one part
  int count = 1;                        // alike parts
  units::System system = units::System::metric;
};

// The zone named "PIECE/PART/ZONE" (ids). A Problem when there is none, or when it is not flat and on one face.
Result<ZoneTemplate> zone_template(const job::Job& job, std::string_view name);

struct TemplatePages {
  std::string pdf;  // the bytes
  int pages = 0, rows = 0, columns = 0;
  bool landscape = false;
  double width_mm = 0, height_mm = 0;  // of the zone
};

// Scale 1:1, upright or on its side, whichever takes fewer sheets. Neighbouring sheets overlap by 10 mm and share
// crosses in the middle of the overlap. Every sheet has a check rule, its place (row, sheet) and a map of the face.
// Arcs are drawn as arcs. At most 200 sheets.
Result<TemplatePages> template_pdf(const ZoneTemplate& zone, Paper paper, Instant made_at, const Tongue& tongue = {});

}  // namespace tackcloth::sheet
