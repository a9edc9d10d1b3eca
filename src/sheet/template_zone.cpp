#include <algorithm>

#include "reading/table.h"
#include "sheet/template.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

auto no_zone(std::string what, const std::vector<std::string>& ids, const std::string& asked) {
  std::string list;
  for (std::size_t i = 0; i < ids.size() && i < 20; ++i) list += (list.empty() ? "" : ", ") + ids[i];
  if (ids.size() > 20) list += ", ...";
  const auto near = reading::nearest(asked, ids);
  return tl::unexpected(Problem{"", 0, 0, std::move(what), "one of: " + list,
                                near ? "did you mean '" + *near + "'?" : "look the ids up in the job file"});
}

// The one called `id`, or nullptr with the ids there are.
template <class T, class Id>
const T* find(const std::vector<T>& all, const std::string& id, Id id_of, std::vector<std::string>& ids) {
  ids.clear();
  for (const T& one : all) {
    if (id_of(one) == id) return &one;
    ids.push_back(id_of(one));
  }
  return nullptr;
}

}  // namespace

Result<ZoneTemplate> zone_template(const job::Job& job, std::string_view name) {
  std::vector<std::string> words(1), ids;
  for (const char c : clean(name))
    if (c == '/')
      words.emplace_back();
    else
      words.back() += c;
  if (words.size() != 3)
    return tl::unexpected(Problem{"", 0, 0, "'" + clean(name).substr(0, 120) + "' names no zone",
                                  "PIECE/PART/ZONE, three ids of the job file", "write it as cabinet/case/sunrise"});
  const auto* order = find(
      job.pieces, words[0], [](const job::PieceOrder& o) { return o.piece.id; }, ids);
  if (!order) return no_zone("there is no piece '" + words[0] + "' in this job", ids, words[0]);
  const auto* part = find(
      order->piece.parts, words[1], [](const piece::Part& p) { return p.id; }, ids);
  if (!part) return no_zone("piece '" + words[0] + "' has no part '" + words[1] + "'", ids, words[1]);
  const auto* zone = find(
      part->zones, words[2], [](const piece::Zone& z) { return z.id; }, ids);
  if (!zone) return no_zone("part '" + words[1] + "' has no zone '" + words[2] + "'", ids, words[2]);
  const auto shown = std::count_if(part->faces.begin(), part->faces.end(), [](const auto& f) { return !f.hidden; });
  const auto face = std::find_if(part->faces.begin(), part->faces.end(), [&](const piece::Face& f) {
    return f.name == zone->face || (zone->face == "all" && shown == 1 && !f.hidden);
  });
  if (face == part->faces.end() || face->region.outlines.empty() || zone->region.outlines.empty())
    return tl::unexpected(Problem{"", 0, 0,
                                  "zone '" + words[2] + "' goes " +
                                      (face == part->faces.end() ? "over several faces" : "around a part") +
                                      ": there is no flat shape to cut",
                                  "a flat zone on one face", "name one flat face for it"});
  ZoneTemplate made;
  made.piece = order->piece.name.empty() ? order->piece.id : order->piece.name;
  made.part = part->id;
  made.zone = zone->id;
  made.face = face->name;
  made.region = zone->region;
  made.face_region = face->region;
  made.count = std::max(1, part->count);
  made.area_m2 = zone->area_m2 / made.count;
  made.tape_mm = zone->tape_mm / made.count;
  made.system = job.shop.system;
  return made;
}

}  // namespace tackcloth::sheet
