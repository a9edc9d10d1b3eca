// Who may speak to the service. It listens on loopback, but any web page open in the same browser can send requests
// there too; Host and Origin tell our own page from another (OWASP, "DNS rebinding", "Cross-site request forgery").
#pragma once

#include <optional>

#include "service/http.h"

namespace tackcloth::service {

// The answer that turns the request away, or nothing when it may pass.
std::optional<Response> turn_away(const Request& request, int port);

// Put on every answer.
void add_security_headers(Response& response);

}  // namespace tackcloth::service
