#include "service/guard.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "service/everything.h"
#include "service/photo.h"

namespace tackcloth::service {
namespace {

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

bool is_our_host(const std::string& host, const Request& request, const Doors& doors) {
  if (request.from_network) return !doors.lan_host.empty() && host == doors.lan_host;
  for (const char* name : {"localhost", "127.0.0.1", "[::1]"}) {
    if (host == std::string(name) + ":" + std::to_string(doors.port)) return true;
    if (doors.port == 80 && host == name) return true;
  }
  return false;
}

bool is_json(const std::string& content_type) {
  std::string type = lower(content_type.substr(0, content_type.find(';')));
  while (!type.empty() && type.back() == ' ') type.pop_back();
  return type == "application/json";
}

}  // namespace

std::optional<Response> turn_away(const Request& request, const Doors& doors) {
  const std::string names =
      request.from_network ? doors.lan_host : "localhost, 127.0.0.1 or [::1] with port " + std::to_string(doors.port);
  const std::string open =
      "open http://" + (request.from_network ? doors.lan_host : "localhost:" + std::to_string(doors.port)) + "/";
  if (!is_our_host(lower(request.header("host")), request, doors))
    return refusal(403, problem_of("the Host header names another machine", names, open));
  const std::string origin = lower(request.header("origin"));
  if (!origin.empty() && !(origin.starts_with("http://") && is_our_host(origin.substr(7), request, doors))) {
    return refusal(403, problem_of("the request comes from a page of another site", "a page served from here", open));
  }
  const std::string site = lower(request.header("sec-fetch-site"));
  if (site == "cross-site" && request.header("sec-fetch-mode") != "navigate") {
    return refusal(403, problem_of("the request comes from a page of another site", "a page served from here", open));
  }
  // Neither type can be sent by a form of another site (Fetch standard, "CORS-safelisted request-header").
  const std::string path = path_of(request.target);
  const bool bytes = (path.starts_with(kPhotos) || path == kEverything) &&
                     lower(request.header("content-type")) == "application/octet-stream";
  if (request.method == "POST" && !bytes && !is_json(request.header("content-type"))) {
    return refusal(415, problem_of("the body is not marked as JSON", "Content-Type: application/json",
                                   "send JSON and say so in the header"));
  }
  return std::nullopt;
}

void add_security_headers(Response& response) {
  response.headers["Content-Security-Policy"] =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; font-src "
      "'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
  response.headers["X-Content-Type-Options"] = "nosniff";
  response.headers["Referrer-Policy"] = "no-referrer";
  response.headers["Cross-Origin-Resource-Policy"] = "same-origin";
  response.headers["Cross-Origin-Opener-Policy"] = "same-origin";
}

}  // namespace tackcloth::service
