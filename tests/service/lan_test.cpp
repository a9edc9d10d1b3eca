// The door to the local network, at 127.0.0.2 in the place of an address there.
#include "service/lan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <nlohmann/json.hpp>
#include <set>

#include "client.h"
#include "served.h"
#include "service/lan_address.h"
#include "service/secret.h"

namespace tackcloth::service {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

constexpr const char* kLan = "127.0.0.2";

class LanTest : public Served {
 protected:
  void SetUp() override {
    Served::SetUp();
    config_.lan_address = kLan;
    config_.seconds = [this] { return now_s_.load(); };
    start();
  }
  std::string desk(const std::string& method, const std::string& target, const std::string& body = "") {
    return Client(server_->port()).ask(method, target, body.empty() ? "" : kJson, body);
  }
  std::string phone(const std::string& method, const std::string& target, const std::string& headers = "",
                    const std::string& body = "") {
    return Client(server_->port(), kLan).ask(method, target, (body.empty() ? "" : kJson) + headers, body);
  }
  json pairing() { return json::parse(body_of(desk("GET", "/api/pairing"))); }
  json new_code() { return json::parse(body_of(desk("POST", "/api/pairing/code", "{}"))); }
  std::string try_code(const std::string& code) {
    return phone("POST", "/api/pair", "", json{{"code", code}, {"name", "Bench telephone"}}.dump());
  }
  static std::string cookie_in(const std::string& answer) {
    const std::string mark = "Set-Cookie: ";
    const auto at = answer.find(mark);
    if (at == std::string::npos) return {};
    return "Cookie: other=1; " + answer.substr(at + mark.size(), answer.find(';', at) - at - mark.size()) + "\r\n";
  }
  static std::string other_than(const std::string& code) { return code == "000000" ? "111111" : "000000"; }

  std::atomic<long long> now_s_{1000};
};

TEST_F(LanTest, WhoIsNotPairedGetsThePageButNoData) {
  EXPECT_THAT(phone("GET", "/"), HasSubstr("<title>page</title>"));
  for (const char* path : {"/api/plan", "/api/log", "/api/job", "/api/events", "/api/photos", "/api/look", "/healthz",
                           "/api/pairing", "/api/pairing/picture", "/api/everything", "/%61pi/plan", "/api", "/api/"}) {
    const auto answer = phone("GET", path);
    EXPECT_THAT(answer, StartsWith("HTTP/1.1 401")) << path;
    EXPECT_THAT(answer, Not(HasSubstr("Bench"))) << path;
  }
  EXPECT_THAT(phone("GET", "//api/plan"), StartsWith("HTTP/1.1 404"));
  EXPECT_THAT(phone("POST", "/api/log", "", R"({"key":"a","step":"P1-01","what":"done"})"), StartsWith("HTTP/1.1 401"));
  EXPECT_THAT(phone("POST", "/api/pairing/code", "", "{}"), StartsWith("HTTP/1.1 401"));
  EXPECT_THAT(phone("POST", "/", "", "{}"), StartsWith("HTTP/1.1 401"));
  EXPECT_TRUE(ledger_->entries().value().empty());
  EXPECT_THAT(desk("GET", "/api/plan"), StartsWith("HTTP/1.1 200")) << "the desk needs no code";
}

TEST_F(LanTest, ACodeLetsOneTelephoneIn) {
  const std::string code = pairing()["code"];
  EXPECT_EQ(code.size(), 6u);
  EXPECT_EQ(code, server_->pairing_code());
  const auto let_in = try_code(code.substr(0, 3) + " " + code.substr(3));
  EXPECT_THAT(let_in, StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(let_in, HasSubstr("; HttpOnly; SameSite=Strict\r\n"));
  const std::string cookie = cookie_in(let_in);
  EXPECT_THAT(phone("GET", "/api/plan", cookie), HasSubstr("Bench"));
  EXPECT_THAT(phone("POST", "/api/log", cookie, R"({"key":"a","step":"P1-01","what":"done"})"),
              StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(try_code(code), StartsWith("HTTP/1.1 429")) << "one code, one telephone";
  EXPECT_EQ(pairing()["state"], "used");
  // What the desk alone may do.
  EXPECT_THAT(phone("GET", "/api/pairing", cookie), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(phone("POST", "/api/pairing/code", cookie, "{}"), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(phone("GET", "/api/everything", cookie), StartsWith("HTTP/1.1 403"));
  // Only the hash is stored.
  const auto stored = ledger_->phones().value();
  ASSERT_EQ(stored.size(), 1u);
  const std::string token = cookie.substr(cookie.find(kCookie) + std::string(kCookie).size() + 1, 64);
  EXPECT_EQ(stored[0].token_hash, sha256_hex(token));
  EXPECT_NE(stored[0].token_hash, token);
  EXPECT_THAT(phone("GET", "/api/plan", "Cookie: " + std::string(kCookie) + "=" + stored[0].token_hash + "\r\n"),
              StartsWith("HTTP/1.1 401"))
      << "the hash opens nothing";
}

TEST_F(LanTest, AForgottenTelephoneIsOutAtOnce) {
  const std::string cookie = cookie_in(try_code(pairing()["code"]));
  Client listener(server_->port(), kLan);
  listener.send("GET /api/events HTTP/1.1\r\nHost: 127.0.0.2:" + std::to_string(server_->port()) + "\r\n" + cookie +
                "\r\n");
  EXPECT_THAT(listener.read_until("event: plan"), StartsWith("HTTP/1.1 200"));
  const auto phones = pairing()["phones"];
  ASSERT_EQ(phones.size(), 1u);
  EXPECT_EQ(phones[0]["name"], "Bench telephone");
  EXPECT_THAT(desk("POST", "/api/pairing/forget", json{{"id", 99}}.dump()), StartsWith("HTTP/1.1 422"));
  const auto left = desk("POST", "/api/pairing/forget", json{{"id", phones[0]["id"]}}.dump());
  EXPECT_TRUE(json::parse(body_of(left))["phones"].empty());
  EXPECT_THAT(listener.rest(), Not(StartsWith("TIMED OUT"))) << "its open line is closed";
  EXPECT_THAT(phone("GET", "/api/plan", cookie), StartsWith("HTTP/1.1 401"));
}

TEST_F(LanTest, WrongCodesAreFewAndThenLocked) {
  const std::string code = pairing()["code"];
  for (int left = Pairing::kTries - 1; left > 0; --left) {
    EXPECT_THAT(try_code(other_than(code)), StartsWith("HTTP/1.1 401"));
    EXPECT_EQ(pairing()["tries_left"], left);
  }
  EXPECT_THAT(try_code(other_than(code)), StartsWith("HTTP/1.1 429"));
  EXPECT_THAT(try_code(code), StartsWith("HTTP/1.1 429")) << "the right one comes too late";
  EXPECT_EQ(pairing()["state"], "locked");
  EXPECT_EQ(pairing()["code"], "");
  EXPECT_TRUE(ledger_->phones().value().empty());
  const std::string fresh = new_code()["code"];
  EXPECT_THAT(try_code(fresh), StartsWith("HTTP/1.1 200"));
}

TEST_F(LanTest, ACodeIsGoodForTenMinutes) {
  const std::string code = pairing()["code"];
  now_s_ += 599;
  EXPECT_EQ(pairing()["left_s"], 1);
  now_s_ += 1;
  EXPECT_EQ(pairing()["state"], "expired");
  EXPECT_THAT(try_code(code), StartsWith("HTTP/1.1 429"));
  EXPECT_THAT(desk("GET", "/api/pairing/picture"), StartsWith("HTTP/1.1 404"));
  new_code();
  const auto picture = desk("GET", "/api/pairing/picture");
  EXPECT_THAT(picture, HasSubstr("Content-Type: image/svg+xml\r\n"));
  EXPECT_THAT(picture, HasSubstr("<path"));
}

TEST_F(LanTest, EachDoorTakesItsOwnNames) {
  const std::string port = std::to_string(server_->port());
  const auto raw = [&](const std::string& door, const std::string& host, const std::string& more) {
    Client client(server_->port(), door);
    client.send("GET / HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n" + more + "\r\n");
    return client.rest();
  };
  EXPECT_THAT(raw(kLan, "127.0.0.2:" + port, ""), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(raw(kLan, "localhost:" + port, ""), StartsWith("HTTP/1.1 403")) << "the desk's name is not good there";
  EXPECT_THAT(raw("127.0.0.1", "127.0.0.2:" + port, ""), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(raw(kLan, "rebound.example:" + port, ""), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(raw(kLan, "127.0.0.2:" + port, "Origin: http://127.0.0.2:" + port + "\r\n"), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(raw(kLan, "127.0.0.2:" + port, "Origin: http://127.0.0.1:" + port + "\r\n"), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(raw(kLan, "127.0.0.2:" + port, "Origin: http://other.example\r\n"), StartsWith("HTTP/1.1 403"));
}

TEST_F(LanTest, OddPairingsAreRefused) {
  EXPECT_THAT(phone("GET", "/api/pair"), StartsWith("HTTP/1.1 405"));
  EXPECT_THAT(phone("POST", "/api/pair", "", "not json"), StartsWith("HTTP/1.1 400"));
  EXPECT_THAT(phone("POST", "/api/pair", "", R"({"code":7,"name":"x"})"), StartsWith("HTTP/1.1 400"));
  EXPECT_THAT(phone("POST", "/api/pair", "", R"({"code":"1","name":""})"), StartsWith("HTTP/1.1 422"));
  EXPECT_EQ(pairing()["tries_left"], Pairing::kTries) << "none of these was a try";
  EXPECT_THAT(desk("POST", "/api/pairing/forget", "{}"), StartsWith("HTTP/1.1 400"));
}

TEST(PairingTest, CodesAreEvenlySpreadAndTokensLong) {
  // 0xffffffff lies above the last whole run of a million and is thrown away; then 0x000f4241 = 1,000,001.
  std::vector<std::string> given = {std::string("\xff\xff\xff\xff", 4), std::string("\x00\x0f\x42\x41", 4)};
  Pairing pairing([&](std::size_t bytes) -> Result<std::string> {
    if (bytes != 4) return std::string(bytes, '\x5a');
    std::string next = given.front();
    given.erase(given.begin());
    return next;
  });
  EXPECT_EQ(pairing.state(0), Pairing::State::none);
  EXPECT_EQ(pairing.try_code("", 0), Pairing::Verdict::not_open);
  ASSERT_TRUE(pairing.make_code(0));
  EXPECT_EQ(pairing.code(0), "000001");
  EXPECT_EQ(pairing.try_code("", 0), Pairing::Verdict::wrong);
  EXPECT_EQ(pairing.make_token().value().size(), 64u);
}

TEST(SecretTest, AgreesWithTheStandard) {
  // NIST, "SHA-256 example": one block, "abc".
  EXPECT_EQ(sha256_hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  std::set<std::string> seen;
  for (int i = 0; i < 64; ++i) seen.insert(random_bytes(16).value());
  EXPECT_EQ(seen.size(), 64u);
  EXPECT_TRUE(same_secret("abc", "abc"));
  EXPECT_FALSE(same_secret("abc", "abd"));
  EXPECT_FALSE(same_secret("abc", "ab"));
}

TEST(LanAddressTest, TakesLocalNetworksOnly) {
  for (const char* good :
       {"192.168.1.5", "10.0.0.7", "172.16.0.1", "172.31.255.254", "169.254.3.4", "127.0.0.2", "fd12:3456:789a::1"}) {
    EXPECT_EQ(local_address(good).value_or("refused"), good);
  }
  for (const char* bad : {"0.0.0.0", "8.8.8.8", "172.32.0.1", "172.15.0.1", "192.169.0.1", "::", "::1", "2001:db8::1",
                          "fe80::1", "bench.local", ""}) {
    EXPECT_FALSE(local_address(bad)) << bad;
  }
}

}  // namespace
}  // namespace tackcloth::service
