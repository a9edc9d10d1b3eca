// Who may speak to the service. It listens on loopback, and on one address of the local
// network when told to; but any web page open in the same browser can send requests
// there too; Host and Origin tell our own page from another (OWASP, "DNS rebinding", "Cross-site request forgery").
#pragma once

#include <optional>
#include <string>

#include "service/http.h"

namespace tackcloth::service {

struct Doors {
  int port = 0;          // on loopback
  std::string lan_host;  // "192.168.1.5:8420" of the local network's door; "" when there is none
};

// The answer that turns the request away, or nothing when it may pass. Each door takes its own names only.
std::optional<Response> turn_away(const Request& request, const Doors& doors);

// Put on every answer.
void add_security_headers(Response& response);

}  // namespace tackcloth::service
