#include "service/http.h"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace tackcloth::service {
namespace {

int hex(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

}  // namespace

std::string Request::header(const std::string& name) const {
  const auto found = headers.find(name);
  return found == headers.end() ? std::string() : found->second;
}

Problem problem_of(std::string what, std::string expected, std::string remedy) {
  Problem problem;
  problem.what = std::move(what);
  problem.expected = std::move(expected);
  problem.remedy = std::move(remedy);
  return problem;
}

Response json_answer(const nlohmann::ordered_json& value) {
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = value.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
  return response;
}

Response refusal(int status, const Problem& problem) {
  nlohmann::ordered_json json;
  json["what"] = problem.what;
  json["expected"] = problem.expected;
  json["remedy"] = problem.remedy;
  Response response;
  response.status = status;
  response.body = json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
  response.headers["Cache-Control"] = "no-store";
  return response;
}

std::optional<std::string> percent_decoded(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size()) return {};
    const int high = hex(text[i + 1]), low = hex(text[i + 2]);
    if (high < 0 || low < 0) return {};
    out += static_cast<char>(high * 16 + low);
    i += 2;
  }
  return out;
}

std::string path_of(const std::string& target) {
  if (target.empty() || target.front() != '/') return {};
  return percent_decoded(target.substr(0, target.find_first_of("?#"))).value_or("");
}

std::vector<std::string> items_of(const std::string& list) {
  std::vector<std::string> items;
  for (std::size_t at = 0; at < list.size();) {
    const std::size_t end = std::min(list.find(',', at), list.size());
    const std::size_t from = list.find_first_not_of(" \t", at);
    if (from < end) items.push_back(list.substr(from, list.find_last_not_of(" \t", end - 1) + 1 - from));
    at = end + 1;
  }
  return items;
}

bool names_tag(const std::string& if_none_match, const std::string& tag) {
  const auto strong = [](const std::string& text) { return text.starts_with("W/") ? text.substr(2) : text; };
  const auto items = items_of(if_none_match);
  return std::any_of(items.begin(), items.end(),
                     [&](const std::string& item) { return item == "*" || strong(item) == strong(tag); });
}

}  // namespace tackcloth::service
