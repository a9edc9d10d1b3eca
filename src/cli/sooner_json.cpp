#include "cli/sooner_json.h"

#include <nlohmann/json.hpp>

namespace tackcloth::cli {

std::string to_json(const plan::Helps& helps) {
  using Json = nlohmann::ordered_json;
  Json list = Json::array();
  for (const plan::Help& help : helps.best_first) {
    Json pieces = Json::array();
    for (const plan::PromiseMoved& moved : help.pieces)
      pieces.push_back({{"piece", moved.piece},
                        {"finish_before", to_iso(moved.finish_before)},
                        {"finish_after", to_iso(moved.finish_after)}});
    list.push_back({{"kind", help.kind},
                    {"what", help.what},
                    {"heed", help.heed},
                    {"late_hours_less", help.late_hours_less},
                    {"finish_hours_less", help.finish_hours_less},
                    {"piece_hours_less", help.piece_hours_less},
                    {"pieces", std::move(pieces)}});
  }
  Json hurried = Json::array();
  for (const plan::PromiseMoved& moved : helps.hurried)
    hurried.push_back({{"piece", moved.piece},
                       {"finish_before", to_iso(moved.finish_before)},
                       {"finish_after", to_iso(moved.finish_after)}});
  return Json{{"tried", helps.tried}, {"hurried", std::move(hurried)}, {"helps", std::move(list)}}.dump(
      2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace tackcloth::cli
