#include "service/photo.h"

#include <nlohmann/json.hpp>
#include <string_view>

#include "service/query.h"

namespace tackcloth::service {
namespace {

using nlohmann::ordered_json;

// What the first bytes say: JPEG (ISO 10918-1, B.1.1.3), PNG (ISO 15948, 5.2) or HEIC (ISO 23008-12 in the ISO 14496-12
// box "ftyp"). Whether the rest holds is found out when it is opened.
bool looks_like_a_picture(const std::string& bytes) {
  return bytes.starts_with("\xFF\xD8\xFF") || bytes.starts_with("\x89PNG\r\n\x1A\n") ||
         (bytes.size() >= 12 && bytes.compare(4, 4, "ftyp") == 0);
}

}  // namespace

Response add_photo(const Api& api, const Request& request, const std::string& id) {
  const auto size = number_in_query(request.target, "size"), offset = number_in_query(request.target, "offset");
  if (!size || !offset) {
    return refusal(400, problem_of("size or offset is missing", "?size=BYTES&offset=BYTES", "say both as numbers"));
  }
  if (*offset == 0 && !request.body.empty() && !looks_like_a_picture(request.body)) {
    return refusal(415, problem_of("these are not the first bytes of a JPEG, PNG or HEIC picture", "a photo",
                                   "choose a photo from the camera"));
  }
  const auto have = api.ledger.add_photo_bytes({id, api.clock(), *size, 0}, *offset, request.body);
  if (!have) return refusal(ledger::is_no_room(have.error()) ? 507 : 422, have.error());
  return json_answer({{"id", id}, {"size", *size}, {"have", *have}});
}

Response photos(const Api& api) {
  const auto stored = api.ledger.photos();
  if (!stored) return refusal(500, stored.error());
  ordered_json list = ordered_json::array();
  for (const auto& photo : *stored)
    list.push_back(ordered_json{{"id", photo.id}, {"when", photo.when}, {"size", photo.size}, {"have", photo.have}});
  return json_answer({{"photos", std::move(list)}});
}

}  // namespace tackcloth::service
