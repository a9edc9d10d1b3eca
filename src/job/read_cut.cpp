// [[cut]]: what parts of the pieces are cut from, and how they are laid on it.
#include <algorithm>
#include <cmath>

#include "job/read.h"
#include "shape/draw.h"

namespace tackcloth::job {

namespace {

using cutting::Length;

constexpr std::size_t kMostRemnants = 50, kMostCutParts = 200, kMostCuts = 50;
constexpr double kWidestMm = 100'000;

Length um(double mm) { return std::llround(mm * 1000); }

void length(reading::Table& table, std::string_view key, Length& into, double low_mm = 0) {
  const auto mm = table.quantity(
      key, units::parse_length_mm, low_mm, kWidestMm,
      low_mm > 0 ? "a length above 0 and up to 100 m, as \"140 cm\"" : "a length from 0 to 100 m, as \"25 mm\"");
  if (mm) into = um(*mm);
}
std::optional<Length> maybe(reading::Table& table, std::string_view key) {
  Length value = -1;
  length(table, key, value);
  if (value < 0) return std::nullopt;
  return value;
}

std::optional<cutting::Turn> direction(reading::Table& table) {
  const auto word = table.choice("direction", {"one", "grain", "any"});
  if (!word) return std::nullopt;
  return static_cast<cutting::Turn>(*word);
}

std::optional<shape::Region> ring(reading::Table& table, std::string_view key,
                                  const std::vector<std::vector<double>>& rows) {
  std::vector<shape::Corner> corners;
  for (const auto& row : rows) corners.push_back({{row[0], row[1]}, row.size() == 3 ? row[2] : 0});
  if (corners.empty()) return std::nullopt;
  auto region = shape::curved_polygon(corners);
  if (region) return std::move(*region);
  table.problem(key, region.error().what, region.error().expected, region.error().remedy);
  return std::nullopt;
}

// `outline` with its `hole`s; nothing when there is none.
shape::Region outline_of(reading::Table& table) {
  constexpr const char* kCorners = "[x, y] of a corner, or [x, y, rise of the arc from the corner before], text or mm";
  shape::Region region;
  if (auto outer = ring(table, "outline", table.rows("outline", units::parse_length_mm, 2, 3, kCorners)))
    region = std::move(*outer);
  for (reading::Table& hole : table.tables("hole")) {
    if (!hole.has("outline")) hole.need_text("outline");
    const auto inner = ring(hole, "outline", hole.rows("outline", units::parse_length_mm, 2, 3, kCorners));
    hole.finish();
    if (!inner) continue;
    if (region.outlines.empty()) {
      table.problem("hole", "a hole needs something it is in", "an outline with it", "add outline = [...]");
      continue;
    }
    const double before = shape::area_mm2(region);
    region = shape::subtract(region, *inner);
    if (std::abs(before - shape::area_mm2(region) - shape::area_mm2(*inner)) > 1)
      table.problem("hole", "a hole reaches over the edge, or over another", "holes inside the outline",
                    "draw what is left as the outline");
  }
  if (region.outlines.empty()) return region;
  const shape::Box box = shape::bounds(region);
  for (shape::Outline& outline : region.outlines)
    for (shape::Edge& edge : outline.edges) edge.to = {edge.to.x - box.left, edge.to.y - box.bottom};
  return region;
}

void need_size(reading::Table& table, bool drawn, std::initializer_list<const char*> keys) {
  for (const char* key : keys) {
    if (drawn && table.has(key))
      table.problem(key, "the size is given twice", "an outline, or width and the other measure", "take one out");
    if (!drawn && !table.has(key))
      table.problem(key, "'" + std::string(key) + "' is missing here", "a length, as \"60 cm\", or an outline",
                    "measure it and add " + std::string(key) + " = \"...\"");
  }
}

cutting::Leftover read_remnant(reading::Table table, std::vector<std::string>& ids) {
  cutting::Leftover remnant;
  remnant.id = read_id(table, "remnant", ids);
  remnant.outline = outline_of(table);
  need_size(table, table.has("outline"), {"width", "length"});
  length(table, "width", remnant.width, 1);
  length(table, "length", remnant.length, 1);
  remnant.first_x = maybe(table, "first_across");
  remnant.first_y = maybe(table, "first_along");
  table.finish();
  return remnant;
}

struct ZoneOf {
  const PieceOrder* piece = nullptr;
  const piece::Part* part = nullptr;
  const piece::Zone* zone = nullptr;
};
std::string name_of(const ZoneOf& at) { return at.piece->piece.id + "/" + at.part->id + "/" + at.zone->id; }

std::vector<ZoneOf> zones_of(const Job& job) {
  std::vector<ZoneOf> zones;
  for (const PieceOrder& order : job.pieces)
    for (const piece::Part& part : order.piece.parts)
      for (const piece::Zone& zone : part.zones) zones.push_back({&order, &part, &zone});
  return zones;
}

cutting::Wanted wanted_of(const ZoneOf& at) {
  cutting::Wanted wanted;
  wanted.id = name_of(at);
  const shape::Box box = shape::bounds(at.zone->region);
  wanted.width = um(box.width());
  wanted.height = um(box.height());
  wanted.quantity = at.part->count;
  wanted.outline = at.zone->region;
  for (shape::Outline& outline : wanted.outline.outlines)
    for (shape::Edge& edge : outline.edges) edge.to = {edge.to.x - box.left, edge.to.y - box.bottom};
  return wanted;
}

void read_cut_part(reading::Table table, const Job& job, std::vector<std::string>& ids, CutFrom& cut) {
  cutting::Wanted wanted;
  wanted.id = read_id(table, "part", ids);
  wanted.turn = direction(table);
  wanted.quantity = static_cast<int>(table.integer("count", 1, 1000).value_or(1));
  std::string piece = table.text("piece").value_or("");
  std::vector<std::string> pieces;
  for (const PieceOrder& order : job.pieces) pieces.push_back(order.piece.id);
  check_name(table, "piece", piece, "piece", pieces);
  wanted.outline = outline_of(table);
  need_size(table, table.has("outline"), {"width", "height"});
  length(table, "width", wanted.width, 1);
  length(table, "height", wanted.height, 1);
  if (!wanted.outline.outlines.empty()) {
    const shape::Box box = shape::bounds(wanted.outline);
    wanted.width = um(box.width());
    wanted.height = um(box.height());
  }
  table.finish();
  cut.order.parts.push_back(std::move(wanted));
  cut.pieces.push_back(std::move(piece));
}

// The zones that are cut from it: those that say so, and, when it is the only cloth, all that get cloth and say
// nothing.
void take_zones(reading::Table& table, const Job& job, bool only_cloth, CutFrom& cut) {
  for (const ZoneOf& at : zones_of(job)) {
    const auto& said = at.piece->cut_from;
    const auto own = std::find_if(said.begin(), said.end(),
                                  [&](const ZoneCut& z) { return z.part == at.part->id && z.zone == at.zone->id; });
    const bool silent = own == said.end();
    if (silent ? !(only_cloth && at.zone->treatment == piece::Treatment::fabric) : own->cut != cut.id) continue;
    if (at.zone->region.outlines.empty()) {
      table.problem("id", "zone '" + name_of(at) + "' is not flat and cannot be cut out", "zones of flat faces",
                    "give its size laid flat as a part of this cut, and take cut_from out of the zone");
      continue;
    }
    cut.order.parts.push_back(wanted_of(at));
    cut.pieces.push_back(at.piece->piece.id);
  }
}

void read_ground(reading::Table& table, CutFrom& cut) {
  cutting::Order& order = cut.order;
  const bool sheet = order.stuff == cutting::Stuff::sheet;
  for (const char* key : {"sheet_width", "sheet_length"})
    if (!sheet && table.has(key))
      table.problem(key, "cloth comes on a roll", "roll_width", "take it out, or say stuff = \"sheet\"");
  if (table.has("roll_width") && (table.has("sheet_width") || table.has("sheet_length")))
    table.problem("roll_width", "it cannot be a roll and a sheet", "roll_width, or sheet_width and sheet_length",
                  "take one of them out");
  else if (table.has("sheet_width") != table.has("sheet_length"))
    table.problem("sheet_width", "a sheet has two sizes", "sheet_width and sheet_length", "give both, or none");
  length(table, "roll_width", order.cloth.roll_width, 1);
  if (sheet) {
    length(table, "sheet_width", order.cloth.roll_width, 1);
    length(table, "sheet_length", order.sheet_length, 1);
  } else {
    table.known("sheet_width");
    table.known("sheet_length");
  }
}

CutFrom read_cut(reading::Table& table, const Job& job, bool only_cloth, bool sound, std::vector<std::string>& ids) {
  CutFrom cut;
  cutting::Order& order = cut.order;
  cut.id = read_id(table, "cut", ids);
  cut.name = read_line(table, "name", cut.id);
  order.stuff = static_cast<cutting::Stuff>(table.choice("stuff", {"cloth", "sheet"}).value_or(0));
  const bool sheet = order.stuff == cutting::Stuff::sheet;
  read_ground(table, cut);
  length(table, "selvedge", order.cloth.selvedge);
  length(table, "wrap", order.cloth.wrap);
  length(table, "seam", order.cloth.seam);
  length(table, "gap", order.cloth.gap);
  length(table, "repeat_across", order.cloth.repeat_x, 1);
  length(table, "repeat_along", order.cloth.repeat_y, 1);
  order.cloth.first_x = maybe(table, "first_across");
  order.cloth.first_y = maybe(table, "first_along");
  order.cloth.centred = table.boolean("centred").value_or(true);
  order.cloth.guillotine = table.boolean("edge_to_edge").value_or(false);
  order.outlines = table.boolean("along_outlines").value_or(false);
  order.join = table.boolean("join_widths").value_or(false);
  order.turn = direction(table).value_or(sheet ? cutting::Turn::half : cutting::Turn::none);
  if (order.turn == cutting::Turn::quarter && (order.cloth.repeat_x > 0 || order.cloth.repeat_y > 0))
    table.problem("direction", "patterned cloth cannot be turned", "direction = \"one\" where there is a repeat",
                  "take the repeat or the direction out");
  for (const char* key : {"first_across", "first_along"})
    if (table.has(key) && !table.has(key == std::string("first_across") ? "repeat_across" : "repeat_along"))
      table.problem(key, "there is no repeat that begins there", "the repeat with it",
                    "add the repeat, or take it out");
  cut.price = read_money(table, "price");
  std::vector<std::string> remnants, parts;
  for (const reading::Table& row : table.tables("remnant")) order.remnants.push_back(read_remnant(row, remnants));
  if (sound) take_zones(table, job, only_cloth, cut);
  for (const reading::Table& row : table.tables("part")) read_cut_part(row, job, parts, cut);
  if (order.remnants.size() > kMostRemnants)
    table.problem("remnant", "there are more than 50 remnants", "at most 50", "leave the small ones out");
  if (order.parts.size() > kMostCutParts)
    table.problem("part", "there are more than 200 parts", "at most 200", "split it into several cuts");
  return cut;
}

}  // namespace

void read_cuts(reading::Table& root, reading::Document& document, Job& job) {
  const bool sound = document.problems().empty();
  std::vector<reading::Table> rows = root.tables("cut");
  if (rows.size() > kMostCuts) {
    root.problem("cut", "there are more than 50 cuts", "at most 50", "join some of them");
    return;
  }
  std::vector<std::string> known, ids;
  int cloths = 0;
  for (reading::Table& row : rows) {
    if (row.is_text("id")) known.push_back(*row.text("id"));
    cloths += !row.is_text("stuff") || *row.text("stuff") != "sheet";
  }
  for (const PieceOrder& order : job.pieces)
    for (const ZoneCut& zone : order.cut_from)
      if (std::find(known.begin(), known.end(), zone.cut) == known.end())
        document.add(
            {job.file, zone.line, zone.column, "there is no [[cut]] '" + zone.cut + "'",
             known.empty() ? "a [[cut]] with that id" : "one of: " + known.front() + (known.size() > 1 ? ", …" : ""),
             "add it, or name one that is there"});
  if (cloths > 1)
    for (const ZoneOf& at : zones_of(job)) {
      if (at.zone->treatment != piece::Treatment::fabric) continue;
      const bool said = std::any_of(at.piece->cut_from.begin(), at.piece->cut_from.end(),
                                    [&](const ZoneCut& z) { return z.part == at.part->id && z.zone == at.zone->id; });
      if (!said)
        document.add({job.file, at.zone->line, at.zone->column, "it is not said which cloth this zone is cut from",
                      "the id of a [[cut]], as there are several", "add cut_from = \"" + known.front() + "\""});
    }
  for (reading::Table& row : rows) {
    const bool cloth = !row.is_text("stuff") || *row.text("stuff") != "sheet";
    const std::size_t before = document.problems().size();
    CutFrom cut = read_cut(row, job, cloth && cloths == 1, sound, ids);
    // A shop may keep a cloth that no zone is cut from yet.
    if (sound && document.problems().size() == before && !cut.order.parts.empty())
      for (const Problem& problem : cutting::problems_of(cut.order, job.shop.system))
        row.problem(row.has("sheet_width") ? "sheet_width" : "roll_width", problem.what, problem.expected,
                    problem.remedy);
    row.finish();
    job.cuts.push_back(std::move(cut));
  }
}

}  // namespace tackcloth::job
