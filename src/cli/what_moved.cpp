#include "cli/what_moved.h"

#include <cstdio>

namespace tackcloth::cli {

nlohmann::ordered_json what_moved(const plan::Plan& before, const plan::Plan& after) {
  auto moved = nlohmann::ordered_json::array();
  for (const auto& piece : after.pieces) {
    for (const auto& old : before.pieces) {
      if (old.id != piece.id) continue;
      moved.push_back({{"piece", piece.id},
                       {"name", piece.name},
                       {"finish_before", to_iso(old.finish)},
                       {"finish_after", to_iso(piece.finish)},
                       {"hours_later", hours_between(old.finish, piece.finish)},
                       {"late", piece.late},
                       {"late_reason", piece.late_reason}});
    }
  }
  return moved;
}

std::string moved_text(const nlohmann::ordered_json& moved) {
  std::string text;
  for (const auto& piece : moved) {
    const double hours = piece["hours_later"];
    char by[64];
    std::snprintf(by, sizeof by, "%.1f h %s", hours < 0 ? -hours : hours, hours < 0 ? "earlier" : "later");
    text += piece["name"].get<std::string>() + ": ";
    text += hours == 0 ? "still " + piece["finish_after"].get<std::string>()
                       : piece["finish_before"].get<std::string>() + " -> " + piece["finish_after"].get<std::string>() +
                             " (" + by + ")";
    if (piece["late"]) text += ", LATE: " + piece["late_reason"].get<std::string>();
    text += "\n";
  }
  return text;
}

}  // namespace tackcloth::cli
