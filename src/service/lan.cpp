#include "service/lan.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "service/api.h"
#include "service/everything.h"
#include "service/files.h"
#include "service/picture_of_code.h"
#include "service/secret.h"

namespace tackcloth::service {
namespace {

using nlohmann::json;
using nlohmann::ordered_json;

constexpr std::size_t kLongestName = 100;
constexpr long long kCookieAge_s = 400LL * 24 * 3600;  // longer is cut by browsers (RFC 6265bis, 5.5)

// RFC 6265, 4.2.1: "name=value; name=value".
std::string cookie_of(const Request& request) {
  const std::string all = request.header("cookie"), name = std::string(kCookie) + "=";
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find(';', at), all.size());
    std::string pair = all.substr(at, end - at);
    pair.erase(0, pair.find_first_not_of(' '));
    if (pair.starts_with(name)) return pair.substr(name.size());
    at = end + 1;
  }
  return {};
}

const char* word_of(Pairing::State state) {
  switch (state) {
    case Pairing::State::open:
      return "open";
    case Pairing::State::used:
      return "used";
    case Pairing::State::expired:
      return "expired";
    case Pairing::State::locked:
      return "locked";
    case Pairing::State::none:
      break;
  }
  return "none";
}

}  // namespace

Lan::Lan(const Config& config, ledger::Ledger& ledger, const Clock& clock)
    : config_(config), ledger_(ledger), clock_(clock), pairing_(random_bytes) {}

void Lan::open_on(std::string address, int port) {
  port_ = port;
  host_ = (address.find(':') == std::string::npos ? address : "[" + address + "]") +
          (port == 80 ? "" : ":" + std::to_string(port));
}

Result<void> Lan::new_code() { return pairing_.make_code(config_.seconds()); }

std::optional<ledger::StoredPhone> Lan::phone_of(const Request& request, std::optional<Problem>& trouble) {
  const std::string token = cookie_of(request);
  if (token.empty()) return {};
  auto phones = ledger_.phones();
  if (!phones) {
    trouble = phones.error();
    return {};
  }
  const std::string hash = sha256_hex(token);
  for (auto& phone : *phones)
    if (phone.forgotten.empty() && same_secret(phone.token_hash, hash)) return std::move(phone);
  return {};
}

std::optional<Response> Lan::admit(const Request& request) {
  const std::string path = path_of(request.target);
  if (path == kPair) {
    if (request.method == "POST") return pair(request);
    Response response = refusal(405, problem_of("this address does not take that method", "POST", "use another"));
    response.headers["Allow"] = "POST";
    return response;
  }
  std::optional<Problem> trouble;
  const auto phone = phone_of(request, trouble);
  if (trouble) return refusal(500, *trouble);
  if (phone) {
    if (path == kPairing || path.starts_with(std::string(kPairing) + "/") || path == kEverything) {
      return refusal(403, problem_of("only the shop computer itself may ask this", "the page opened at the desk",
                                     "do it on the shop computer"));
    }
    return {};
  }
  // The page's own files hold nothing of the shop; the page then asks for the code.
  const bool reads = request.method == "GET" || request.method == "HEAD";
  if (reads && path != "/healthz" && !path.starts_with("/api")) return serve_file(config_.web_root, path, request);
  return refusal(401, problem_of("this telephone is not paired with the shop computer", "a paired telephone",
                                 "open the page here and type the code shown at the desk"));
}

Response Lan::pair(const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  if (!body.is_object() || !body.contains("code") || !body["code"].is_string() || !body.contains("name") ||
      !body["name"].is_string() || body.size() != 2) {
    return refusal(400, problem_of("the body is not {code, name}", "two texts", "send them"));
  }
  const std::string name = body["name"].get<std::string>();
  if (name.empty() || name.size() > kLongestName || name.find('\0') != std::string::npos)
    return refusal(422, problem_of("the telephone has no name, or a long one", "1 to 100 bytes", "give it another"));
  const long long now = config_.seconds();
  switch (pairing_.try_code(body["code"].get<std::string>(), now)) {
    case Pairing::Verdict::wrong:
      if (pairing_.tries_left() > 0) {
        return refusal(401, problem_of("that is not the code",
                                       "the six digits shown at the desk; " + std::to_string(pairing_.tries_left()) +
                                           " tries are left",
                                       "look again and type it once more"));
      }
      [[fallthrough]];
    case Pairing::Verdict::not_open:
      // Which of the reasons it is, is told at the desk only.
      return refusal(429,
                     problem_of("no code is good now", "a code younger than ten minutes that was not tried too often",
                                "have a new code made at the desk"));
    case Pairing::Verdict::right:
      break;
  }
  const auto token = pairing_.make_token();
  if (!token) return refusal(500, token.error());
  const auto id = ledger_.add_phone({0, sha256_hex(*token), name, clock_()});
  if (!id) return refusal(status_of(id.error()), id.error());
  Response response = json_answer({{"paired", true}, {"name", name}});
  // Not "Secure": there is no TLS here (docs/service.md says what that means).
  response.headers["Set-Cookie"] = std::string(kCookie) + "=" + *token +
                                   "; Path=/; Max-Age=" + std::to_string(kCookieAge_s) + "; HttpOnly; SameSite=Strict";
  return response;
}

Response Lan::told() {
  const long long now = config_.seconds();
  const auto phones = ledger_.phones();
  if (!phones) return refusal(500, phones.error());
  ordered_json list = ordered_json::array();
  for (const auto& phone : *phones)
    if (phone.forgotten.empty())
      list.push_back(ordered_json{{"id", phone.id}, {"name", phone.name}, {"when", phone.when}});
  ordered_json value{{"address", is_open() ? ordered_json("http://" + host_ + "/") : ordered_json()},
                     {"state", word_of(pairing_.state(now))},
                     {"code", pairing_.code(now)},
                     {"left_s", pairing_.left_s(now)},
                     {"tries_left", pairing_.tries_left()},
                     {"phones", std::move(list)}};
  return json_answer(value);
}

Response Lan::forget(const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  if (!body.is_object() || body.size() != 1 || !body.contains("id") || !body["id"].is_number_integer())
    return refusal(400, problem_of("the body is not {id}", "the id of a telephone", "take it from /api/pairing"));
  if (const auto done = ledger_.forget_phone(body["id"].get<long long>(), clock_()); !done)
    return refusal(422, done.error());
  ++forgotten_;
  return told();
}

std::optional<Response> Lan::desk(const Request& request) {
  const std::string path = path_of(request.target), under = std::string(kPairing) + "/";
  const bool reads = request.method == "GET" || request.method == "HEAD", posts = request.method == "POST";
  if (path == kPairing && reads) return told();
  if (path == under + "code" && posts) {
    if (!is_open()) {
      return refusal(422, problem_of("the service listens on this machine only", "tackcloth serve --lan",
                                     "end it and start it with --lan"));
    }
    if (const auto made = new_code(); !made) return refusal(500, made.error());
    return told();
  }
  if (path == under + "forget" && posts) return forget(request);
  if (path == under + "picture" && reads) {
    const std::string code = pairing_.code(config_.seconds());
    if (code.empty()) return refusal(404, problem_of("no code is good now", "a code", "make one"));
    // Behind the "#": a browser keeps that to itself (RFC 3986, 3.5).
    auto picture = picture_of_code("http://" + host_ + "/#pair=" + code);
    if (!picture) return refusal(500, picture.error());
    Response response;
    response.content_type = "image/svg+xml";
    response.headers["Cache-Control"] = "no-store";
    response.body = std::move(*picture);
    return response;
  }
  return {};
}

}  // namespace tackcloth::service
