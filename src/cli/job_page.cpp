#include "cli/job_page.h"

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/data_files.h"
#include "job/words.h"
#include "piece/words.h"

namespace tackcloth::cli {

namespace {

using nlohmann::json;
using nlohmann::ordered_json;

std::string text_of(const ordered_json& value) {
  return value.dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

Problem not_read(const std::string& what) {
  return {"",
          0,
          0,
          what,
          "a job as Tackcloth stored it",
          "restart tackcloth serve; if that does not help, keep the data file and ask"};
}

ordered_json json_of(const Problem& problem) {
  return {{"what", problem.what}, {"expected", problem.expected}, {"remedy", problem.remedy}};
}

// What a surface may be treated with, by the kind of product.
const char* role_of(const catalog::Product& product) {
  using catalog::Kind;
  switch (product.kind) {
    case Kind::clear:
    case Kind::sealer:
      return "clear";
    case Kind::paint:
      return "paint";
    case Kind::stain:
      return "stain";
    case Kind::oil:
      return "oil";
    case Kind::wax:
      return "wax";
    case Kind::metal_paint:
      return "metal";
    case Kind::primer:
      return "primer";
    default:
      return "supply";
  }
}

}  // namespace

Result<std::string> job_page(ledger::Ledger& ledger, const Context& context) {
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  const auto as_json = job::as_json(standing->toml);
  if (!as_json) return tl::unexpected(as_json.error());
  const json job = json::parse(*as_json, nullptr, false);
  if (job.is_discarded()) return tl::unexpected(not_read("the stored job cannot be read"));
  ordered_json heads = ordered_json::object(), contested = ordered_json::array(), changes = ordered_json::array();
  for (const auto& [chapter, key] : job::heads(standing->changes)) heads[chapter] = key;
  bool shop_said = !set_up_on_page(standing->name);
  for (const job::Change& change : standing->changes) {
    if (change.put && change.put->chapter == job::Chapter::shop && change.stands) shop_said = true;
    if (change.pin && change.contested && change.stands)
      contested.push_back({{"key", change.key},
                           {"when", change.when},
                           {"chapter", "pin/" + change.pin->step},
                           {"body", {{"start", change.pin->start.empty() ? json() : json(change.pin->start)}}}});
    if (change.put && change.contested && change.stands)
      contested.push_back(
          {{"key", change.key},
           {"when", change.when},
           {"chapter", job::name_of(*change.put)},
           {"body", change.put->body.empty() ? json() : json::parse(change.put->body, nullptr, false)}});
    if (change.put || change.pin || !change.takes_back.empty() || !change.chooses.empty())
      changes.push_back({{"key", change.key},
                         {"when", change.when},
                         {"chapter", change.put   ? job::name_of(*change.put)
                                     : change.pin ? "pin/" + change.pin->step
                                                  : ""},
                         {"gone", change.put && change.put->body.empty()},
                         {"takes_back", change.takes_back},
                         {"chooses", change.chooses},
                         {"stands", change.stands},
                         {"contested", change.contested}});
  }
  ordered_json readings = ordered_json::array();
  for (const job::AirReading& one : job::latest_readings(standing->changes))
    readings.push_back({{"room", one.room}, {"at", one.at}, {"temp_c", one.temp_c}, {"rh", one.rh}});
  return text_of({{"version", standing->version},
                  {"assumed", !shop_said},
                  {"job", job},
                  {"heads", std::move(heads)},
                  {"contested", std::move(contested)},
                  {"changes", std::move(changes)},
                  {"readings", std::move(readings)}});
}

Result<std::string> choices_page(const Context& context) {
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error().front());
  const std::string path = (std::filesystem::path(context.catalog_dir) / "patterns.toml").string();
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) return tl::unexpected(Problem{path, 0, 0, "the usual pieces cannot be read", "the file", "install again"});
  const auto patterns = job::as_json(text.str());
  if (!patterns) return tl::unexpected(patterns.error());
  ordered_json kinds = ordered_json::array(), species = ordered_json::array(), products = ordered_json::array();
  const auto& kind_words = piece::part_kind_words();
  for (std::size_t k = 0; k < kind_words.size(); ++k) {
    const auto kind = static_cast<piece::PartKind>(k);
    kinds.push_back({{"kind", kind_words[k]}, {"sizes", job::size_keys(kind)}, {"faces", piece::face_names(kind)}});
  }
  for (const catalog::Species& one : (*catalog)->species) species.push_back({{"id", one.id}, {"name", one.name}});
  for (const catalog::Product& one : (*catalog)->products)
    products.push_back({{"id", one.id}, {"name", one.name}, {"role", role_of(one)}, {"unit", one.unit}});
  return text_of({{"kinds", std::move(kinds)},
                  {"materials", piece::material_words()},
                  {"existing", piece::existing_words()},
                  {"treatments", piece::treatment_words()},
                  {"two_person", job::two_person_words()},
                  {"species", std::move(species)},
                  {"products", std::move(products)},
                  {"patterns", json::parse(*patterns).value("pattern", json::array())}});
}

Result<std::string> measured_page(ledger::Ledger& ledger, const std::string& piece_json, const Context& context) {
  const json body = json::parse(piece_json, nullptr, false);
  if (!body.is_object() || !body.contains("id") || !body["id"].is_string())
    return tl::unexpected(Problem{"", 0, 0, "the body is not a piece", "a piece as JSON, with its id", "send one"});
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  // Alone in the shop: mistakes of other pieces are theirs.
  job::Put put{job::Chapter::piece, body["id"].get<std::string>(), piece_json};
  std::vector<job::Step> steps;
  const json job_now = json::parse(job::as_json(standing->toml).value_or("{}"), nullptr, false);
  if (job_now.is_object() && job_now.contains("piece"))
    for (const json& row : job_now["piece"]) steps.emplace_back(job::Put{job::Chapter::piece, row.value("id", ""), ""});
  steps.emplace_back(std::move(put));
  const auto toml = job::laid_over(standing->toml, steps);
  if (!toml) return tl::unexpected(toml.error());
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error().front());
  ordered_json problems = ordered_json::array(), parts = ordered_json::array(), hazards = ordered_json::array();
  double area = 0;
  const auto job = job::parse_job(*toml, standing->name, **catalog, job::Pieces::may_be_none);
  if (!job) {
    for (const Problem& problem : job.error()) problems.push_back(json_of(problem));
  } else if (!job->pieces.empty()) {
    const piece::Piece& piece = job->pieces.front().piece;
    for (const piece::Part& part : piece.parts) {
      ordered_json faces = ordered_json::array(), zones = ordered_json::array();
      for (const piece::Face& face : part.faces)
        faces.push_back({{"face", face.name},
                         {"width_mm", face.width_mm},
                         {"height_mm", face.height_mm},
                         {"area_m2", face.area_m2},
                         {"hidden", face.hidden}});
      for (const piece::Zone& zone : part.zones) {
        zones.push_back({{"id", zone.id}, {"area_m2", zone.area_m2}, {"tape_mm", zone.tape_mm}});
        area += zone.area_m2;
      }
      parts.push_back(
          {{"id", part.id}, {"count", part.count}, {"faces", std::move(faces)}, {"zones", std::move(zones)}});
    }
    for (const catalog::Finding& finding : piece::hazards(piece))
      hazards.push_back({{"rule", finding.rule},
                         {"severity", catalog::to_text(finding.severity)},
                         {"reason", finding.reason},
                         {"mend", finding.mend},
                         {"source", finding.source}});
  }
  return text_of({{"area_m2", area},
                  {"parts", std::move(parts)},
                  {"hazards", std::move(hazards)},
                  {"problems", std::move(problems)}});
}

}  // namespace tackcloth::cli
