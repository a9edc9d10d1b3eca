// One request and one answer as plain values, so that what the service says can be tested without a socket.
#pragma once

#include <map>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "units/result.h"

namespace tackcloth::service {

struct Request {
  std::string method;                          // "GET"
  std::string target;                          // "/api/plan?x=1", as sent
  std::map<std::string, std::string> headers;  // names in lower case
  std::string body;
  bool from_network = false;                          // came in by the door to the local network, not on loopback
  std::string header(const std::string& name) const;  // "" when absent
};

struct Response {
  int status = 200;
  std::string content_type = "application/json; charset=utf-8";
  std::map<std::string, std::string> headers;
  std::string body;
};

// A value as it is, not to be kept by whoever asked.
Response json_answer(const nlohmann::ordered_json& value);
// {what, expected, remedy} as JSON; a text that is not UTF-8 has its bad bytes replaced.
Response refusal(int status, const Problem& problem);
Problem problem_of(std::string what, std::string expected, std::string remedy);

// RFC 3986, 2.1; nothing when it is badly encoded.
std::optional<std::string> percent_decoded(const std::string& text);
// The path of a target, percent-decoded, without the query; "" when it is not a path or is badly encoded.
std::string path_of(const std::string& target);

// The items of a header that is a list (RFC 9110, 5.6.1), without white space around them.
std::vector<std::string> items_of(const std::string& list);

// Whether If-None-Match names `tag`, by weak comparison (RFC 9110, 13.1.2).
bool names_tag(const std::string& if_none_match, const std::string& tag);

}  // namespace tackcloth::service
