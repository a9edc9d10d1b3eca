#include "cli/actual_json.h"

#include <fmt/format.h>

#include "cli/offer_of.h"

namespace tackcloth::cli {

using nlohmann::ordered_json;

namespace {

ordered_json json_of(const plan::ActualHours& hours) {
  ordered_json json;
  if (!hours.kind.empty()) json["kind"] = hours.kind;
  json.update({{"steps", hours.steps},
               {"done", hours.done},
               {"timed", hours.timed},
               {"planned_hours", hours.planned_min / 60},
               {"timed_planned_hours", hours.timed_planned_min / 60},
               {"took_hours", hours.timed > 0 ? ordered_json(hours.took_min / 60) : ordered_json(nullptr)},
               {"untimed_planned_hours", hours.untimed_planned_min / 60}});
  return json;
}

ordered_json json_of(const plan::YearSums& sums) {
  const auto per_hour = sums.per_hour();
  return {{"pieces", sums.pieces},
          {"income", to_text(sums.income)},
          {"tax", to_text(sums.tax)},
          {"materials", to_text(sums.materials)},
          {"waste_fees", to_text(sums.waste_fees)},
          {"left", to_text(sums.left)},
          {"minutes", sums.minutes},
          {"untimed_minutes", sums.untimed_minutes},
          {"left_per_hour", per_hour ? ordered_json(to_text(*per_hour)) : ordered_json(nullptr)}};
}

}  // namespace

ordered_json actual_json(const plan::PieceActual& piece) {
  ordered_json kinds = ordered_json::array();
  for (const plan::ActualHours& kind : piece.kinds) kinds.push_back(json_of(kind));
  return {{"id", piece.id},
          {"name", piece.name},
          {"owner", piece.owner},
          {"handed_over", piece.handed_over ? ordered_json(to_iso(*piece.handed_over)) : ordered_json(nullptr)},
          {"hours", json_of(piece.all)},
          {"kinds", kinds},
          {"materials_planned", to_text(piece.materials_planned)},
          {"materials_bought",
           piece.materials_bought ? ordered_json(to_text(*piece.materials_bought)) : ordered_json(nullptr)},
          {"agreed", piece.agreed},
          {"hours_known", piece.hours_known},
          {"planned", offer_json(piece.planned)},
          {"as_it_went", offer_json(piece.as_it_went)}};
}

ordered_json year_json(const plan::Year& year) {
  ordered_json pieces = ordered_json::array(), months = ordered_json::array();
  for (const plan::YearPiece& piece : year.pieces) {
    ordered_json one{{"day", to_iso(Instant(piece.day)).substr(0, 10)},
                     {"id", piece.id},
                     {"name", piece.name},
                     {"owner", piece.owner},
                     {"agreed", piece.agreed},
                     {"bought", piece.bought}};
    one.update(json_of(piece.sums));
    pieces.push_back(std::move(one));
  }
  for (int m = 0; m < 12; ++m) {
    ordered_json one{{"month", fmt::format("{:04}-{:02}", year.year, m + 1)}};
    one.update(json_of(year.months[m]));
    months.push_back(std::move(one));
  }
  return {{"year", year.year}, {"currency", year.currency},    {"pieces", pieces},
          {"months", months},  {"total", json_of(year.total)}, {"missing", year.missing}};
}

}  // namespace tackcloth::cli
