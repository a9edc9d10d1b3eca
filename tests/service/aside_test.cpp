// What takes long is made beside the network's thread: others are answered meanwhile, and who goes away does no harm.
// Every order of events is forced with promises; nothing here sleeps.
#include "service/aside.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <future>
#include <nlohmann/json.hpp>
#include <optional>
#include <thread>

#include "client.h"
#include "served.h"

namespace tackcloth::service {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;

constexpr const char* kTelephones = "127.0.0.2";
constexpr std::chrono::seconds kPatience{20};  // until a broken service is given up, never waited for by a sound one

// A server whose paper is being made until `go_`.
class AsideTest : public Served {
 protected:
  void SetUp() override {
    Served::SetUp();
    config_.made["paper"] = [this](ledger::Ledger&, const std::string& about, const std::string&) -> Result<Asset> {
      hold();
      return Asset{"application/pdf", "%PDF " + about, ""};
    };
    config_.accepts = [](ledger::Ledger&, const ledger::StoredChange&) -> Result<void> { return {}; };
    config_.pin = [this](ledger::Ledger&, const std::string&) -> Result<std::string> {
      hold();
      return std::string(R"({"pin":"P1-01"})");
    };
  }
  void TearDown() override {
    let_go();
    Served::TearDown();
  }
  // The first one waits; later ones do not.
  void hold() {
    if (++made_ == 1) {
      begun_.set_value();
      may_go_.wait();
    }
  }
  void let_go() {
    if (!gone_.exchange(true)) go_.set_value();
  }
  bool has_begun() { return begun_.get_future().wait_for(kPatience) == std::future_status::ready; }
  std::string ask(const std::string& method, const std::string& target, const std::string& headers = "",
                  const std::string& body = "") {
    return Client(server_->port()).ask(method, target, headers, body);
  }
  std::string get(const std::string& target, const std::string& more = "") const {
    return "GET " + target + " HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) +
           "\r\nConnection: close\r\n" + more + "\r\n";
  }

  std::promise<void> begun_, go_;
  std::shared_future<void> may_go_ = go_.get_future().share();
  std::atomic<bool> gone_ = false;
  std::atomic<int> made_ = 0;
};

TEST_F(AsideTest, OthersReadAndWriteWhileAPaperIsMade) {
  start();
  Client waits(server_->port());
  waits.send(get("/api/paper/P1/quote.pdf"));
  ASSERT_TRUE(has_begun());
  EXPECT_THAT(ask("GET", "/healthz"), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(ask("GET", "/api/plan"), HasSubstr("P1-01"));
  EXPECT_THAT(ask("GET", "/"), HasSubstr("<title>page</title>"));
  EXPECT_THAT(ask("POST", "/api/log", kJson, R"({"key":"a1","step":"P1-01","what":"done"})"),
              StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(ledger_->entries().value().size(), 1u);
  Client listener(server_->port());
  listener.send(get("/api/events"));
  EXPECT_THAT(listener.read_until("event: plan"), StartsWith("HTTP/1.1 200"));
  let_go();
  EXPECT_THAT(waits.rest(), HasSubstr("%PDF P1/quote.pdf"));
}

TEST_F(AsideTest, OthersReadWhileAPinIsTriedAndThePinIsStored) {
  start();
  Client waits(server_->port());
  const std::string body = R"({"key":"p1","step":"P1-01","start":"2026-03-05T10:00"})";
  waits.send("POST /api/pin HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) +
             "\r\nConnection: close\r\n" + kJson + "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" +
             body);
  ASSERT_TRUE(has_begun());
  EXPECT_THAT(ask("GET", "/api/plan"), HasSubstr("P1-01"));
  EXPECT_THAT(ledger_->changes().value(), IsEmpty());
  let_go();
  EXPECT_THAT(waits.rest(), StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(ledger_->changes().value().size(), 1u);
}

TEST_F(AsideTest, EverythingGoesOutWhileAPaperIsMade) {
  start();
  Client waits(server_->port());
  waits.send(get("/api/paper/P1/quote.pdf"));
  ASSERT_TRUE(has_begun());
  EXPECT_THAT(ask("GET", "/api/everything"), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(ask("HEAD", "/api/everything"), StartsWith("HTTP/1.1 405"));
}

TEST_F(AsideTest, WhoGoesAwayMeanwhileDoesNoHarm) {
  start();
  {
    const Client leaves(server_->port());
    leaves.send(get("/api/paper/P1/quote.pdf"));
    ASSERT_TRUE(has_begun());
  }
  EXPECT_THAT(ask("GET", "/healthz"), StartsWith("HTTP/1.1 200"));
  let_go();
  EXPECT_THAT(ask("GET", "/api/paper/P1/invoice.pdf"), HasSubstr("%PDF P1/invoice.pdf"));
  EXPECT_EQ(made_, 2);
}

TEST_F(AsideTest, AServerThatEndsMeanwhileDoesNoHarm) {
  start();
  Client waits(server_->port()), behind(server_->port());
  waits.send(get("/api/paper/P1/quote.pdf"));
  ASSERT_TRUE(has_begun());
  behind.send(get("/api/paper/P1/invoice.pdf"));
  // The one behind was read before this is answered: requests of loopback come in order.
  EXPECT_THAT(ask("GET", "/healthz"), StartsWith("HTTP/1.1 200"));
  stop();    // the network is silent from here on
  let_go();  // and the paper is ready now, with nobody to give it to
  server_.reset();
  EXPECT_THAT(waits.rest(), IsEmpty());
  EXPECT_THAT(behind.rest(), IsEmpty());
}

TEST_F(AsideTest, ATelephoneForgottenMeanwhileGetsNothing) {
  config_.lan_address = kTelephones;
  start();
  const json pairing = json::parse(body_of(ask("GET", "/api/pairing")));
  const std::string let_in =
      Client(server_->port(), kTelephones)
          .ask("POST", "/api/pair", kJson, json{{"code", pairing["code"]}, {"name", "T"}}.dump());
  const std::string mark = "Set-Cookie: ";
  const auto at = let_in.find(mark);
  ASSERT_NE(at, std::string::npos) << let_in;
  const std::string cookie = let_in.substr(at + mark.size(), let_in.find(';', at) - at - mark.size());
  Client waits(server_->port(), kTelephones);
  waits.send("GET /api/paper/P1/quote.pdf HTTP/1.1\r\nHost: 127.0.0.2:" + std::to_string(server_->port()) +
             "\r\nCookie: " + cookie + "\r\n\r\n");
  ASSERT_TRUE(has_begun());
  const json phones = json::parse(body_of(ask("GET", "/api/pairing")))["phones"];
  ASSERT_EQ(phones.size(), 1u);
  EXPECT_THAT(ask("POST", "/api/pairing/forget", kJson, json{{"id", phones[0]["id"]}}.dump()),
              StartsWith("HTTP/1.1 200"));
  let_go();
  EXPECT_THAT(waits.rest(), IsEmpty());
  EXPECT_THAT(ask("GET", "/api/paper/P1/invoice.pdf"), HasSubstr("%PDF P1/invoice.pdf"));
}

TEST_F(AsideTest, AMakerThatThrowsIsTold) {
  config_.made["paper"] = [](ledger::Ledger&, const std::string&, const std::string&) -> Result<Asset> {
    throw std::runtime_error("out of ink");
  };
  start();
  const std::string answer = ask("GET", "/api/paper/P1/quote.pdf");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 500"));
  EXPECT_THAT(answer, HasSubstr("out of ink"));
}

TEST(AsideLimits, WhatIsTooMuchIsNotTaken) {
  std::promise<void> begun, go, last;
  std::atomic<int> made = 0, told = 0;
  {
    Aside aside([](const std::function<void()>& tell) { tell(); });
    ASSERT_TRUE(aside.add(
        [&] {
          begun.set_value();
          go.get_future().wait();
          ++made;
          return Response{};
        },
        [&](const Response&) { ++told; }));
    ASSERT_EQ(begun.get_future().wait_for(kPatience), std::future_status::ready);
    int taken = 0;
    const auto more = [&] {
      return aside.add(
          [&] {
            ++made;
            return Response{};
          },
          [&](const Response&) { ++told; });
    };
    while (taken < 1000 && more()) ++taken;
    EXPECT_EQ(taken, 64);
    go.set_value();
    // There is room again once they are made: the last of them says so.
    while (!aside.add([] { return Response{}; }, [&](const Response&) { last.set_value(); })) std::this_thread::yield();
    ASSERT_EQ(last.get_future().wait_for(kPatience), std::future_status::ready);
    EXPECT_EQ(made, 65);
    EXPECT_EQ(told, 65);
  }
}

}  // namespace
}  // namespace tackcloth::service
