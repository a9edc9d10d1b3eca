// Photos sent in pieces: POST /api/photo/ID?size=BYTES&offset=BYTES with the bytes as the body.
#pragma once

#include "service/api.h"

namespace tackcloth::service {

inline constexpr const char* kPhotos = "/api/photo/";

// Answers {id, size, have}: how much is on the disk. An empty body asks just that.
Response add_photo(const Api& api, const Request& request, const std::string& id);
// {photos: [{id, when, size, have}]}
Response photos(const Api& api);

}  // namespace tackcloth::service
