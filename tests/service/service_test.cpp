#include "service/service.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <future>
#include <nlohmann/json.hpp>
#include <thread>

#include "client.h"

namespace tackcloth::service {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

constexpr const char* kPlan = R"({"schema":1,"shop":"Bench","pieces":[{"id":"P1","schedule":[{"id":"P1-01"}]}]})";

class ServiceTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "tackcloth-service-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    dir_ = pattern;
    fs::create_directories(dir_ / "web/assets");
    write("web/index.html", "<!doctype html><title>page</title>");
    write("web/assets/app-1a2b.js", "export {};");
    write("web/assets/app-1a2b.css", "body{}");
    write("web/.hidden", "hush");
    write("secret.txt", "hush");
    fs::create_symlink(dir_ / "secret.txt", dir_ / "web/link.txt");
    ledger_ = ledger::open((dir_ / "shop.db").string()).value();
    config_.port = 0;
    config_.web_root = (dir_ / "web").string();
    config_.watch_ms = 20;
  }
  void TearDown() override {
    halt();
    fs::remove_all(dir_);
  }
  void write(const char* name, const std::string& text) const { std::ofstream(dir_ / name) << text; }
  void store(const std::string& plan_json) {
    ASSERT_TRUE(ledger_->add_plan({0, "2026-03-04T08:00:00", "bench.toml", "[shop]", plan_json, "{}"}));
  }
  void start(Replan replan = {}) {
    if (!replan) {
      replan = [this](ledger::Ledger& ledger) -> Result<std::string> {
        ++replans_;
        json plan = json::parse(ledger.latest_plan().value()->plan_json);
        plan["entries"] = ledger.entries().value().size();
        const std::string text = plan.dump();
        const auto id = ledger.add_plan({0, "2026-03-04T09:30:00", "bench.toml", "[shop]", text, "{}"});
        if (!id) return tl::unexpected(id.error());
        return text;
      };
    }
    auto server = Server::start(config_, *ledger_, replan, [] { return std::string("2026-03-04T09:30:00"); });
    ASSERT_TRUE(server) << server.error().what;
    server_ = std::move(*server);
    thread_ = std::thread([this] { server_->run(); });
  }
  void halt() {
    if (!thread_.joinable()) return;
    server_->stop();
    thread_.join();
    server_.reset();
  }
  std::string ask(const std::string& method, const std::string& target, const std::string& headers = "",
                  const std::string& body = "") {
    return Client(server_->port()).ask(method, target, headers, body);
  }
  std::string post(const std::string& body) { return ask("POST", "/api/log", kJson, body); }

  fs::path dir_;
  std::unique_ptr<ledger::Ledger> ledger_;
  Config config_;
  std::unique_ptr<Server> server_;
  std::thread thread_;
  std::atomic<int> replans_ = 0;
};

TEST_F(ServiceTest, SaysThatThereIsNoPlanYet) {
  start();
  const auto answer = ask("GET", "/api/plan");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 404"));
  const json problem = json::parse(body_of(answer));
  EXPECT_EQ(problem["what"], "no plan yet");
  EXPECT_FALSE(problem["remedy"].get<std::string>().empty());
  EXPECT_FALSE(problem["expected"].get<std::string>().empty());
}

TEST_F(ServiceTest, GivesThePlanWithItsTagAndTheShopsClock) {
  store(kPlan);
  start();
  const auto answer = ask("GET", "/api/plan");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(body_of(answer), kPlan);
  EXPECT_THAT(answer, HasSubstr("ETag: \"plan-1\"\r\n"));
  EXPECT_THAT(answer, HasSubstr("Tackcloth-Now: 2026-03-04T09:30:00\r\n"));
  EXPECT_THAT(answer, HasSubstr("Tackcloth-Made-At: 2026-03-04T08:00:00\r\n"));
  EXPECT_THAT(ask("GET", "/api/plan", "If-None-Match: \"plan-1\"\r\n"), StartsWith("HTTP/1.1 304"));
  EXPECT_EQ(body_of(ask("HEAD", "/api/plan")), "");
  EXPECT_THAT(body_of(ask("GET", "/healthz")), HasSubstr("\"status\":\"ok\""));
}

TEST_F(ServiceTest, StoresAnEntryOnceAndTellsTheListeners) {
  store(kPlan);
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) + "\r\n\r\n");
  const auto head = listener.read_until("data: {\"id\":1}\n\n");
  EXPECT_THAT(head, StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(head, HasSubstr("Content-Type: text/event-stream\r\n"));
  EXPECT_THAT(head, HasSubstr("id: 1\nevent: plan\n"));

  const auto answer = post(R"({"key":"a1","step":"P1-01","what":"done","note":"went well"})");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 200"));
  // Stored before the answer.
  ASSERT_EQ(ledger_->entries().value().size(), 1u);
  EXPECT_EQ(ledger_->entries().value()[0].when, "2026-03-04T09:30:00");
  EXPECT_EQ(json::parse(body_of(answer))["new"], true);
  EXPECT_THAT(listener.read_until("data: {\"id\":2}\n\n"), HasSubstr("event: plan"));
  EXPECT_EQ(json::parse(body_of(ask("GET", "/api/plan")))["entries"], 1);

  const auto again = post(R"({"key":"a1","step":"P1-01","what":"done","note":"second try"})");
  EXPECT_THAT(again, StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(json::parse(body_of(again))["new"], false);
  EXPECT_EQ(json::parse(body_of(again))["id"], json::parse(body_of(answer))["id"]);
  const json log = json::parse(body_of(ask("GET", "/api/log")));
  ASSERT_EQ(log["entries"].size(), 1u);
  EXPECT_EQ(log["entries"][0]["note"], "went well");
  EXPECT_FALSE(log["entries"][0].contains("took_min")) << "not told is not nothing";
  EXPECT_THAT(post(R"({"key":"a2","step":"P1-01","what":"done","took_min":45})"), StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(json::parse(body_of(ask("GET", "/api/log")))["entries"][1]["took_min"], 45);
}

TEST_F(ServiceTest, TakesATelephonesClockThatIsALittleAhead) {
  store(kPlan);
  start();
  EXPECT_THAT(post(R"({"key":"a","step":"P1-01","what":"done","when":"2026-03-04T09:34:50"})"),
              StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(post(R"({"key":"b","step":"P1-01","what":"done","when":"2026-03-04T09:36"})"),
              StartsWith("HTTP/1.1 422"));
  EXPECT_THAT(post(R"({"key":"c","step":"P1-01","what":"done","when":"2026-03-04T07:05"})"),
              StartsWith("HTTP/1.1 200"));
  const auto entries = ledger_->entries().value();
  ASSERT_EQ(entries.size(), 2u);
  EXPECT_EQ(entries[0].when, "2026-03-04T09:30:00");
  EXPECT_EQ(entries[1].when, "2026-03-04T07:05:00");
}

TEST_F(ServiceTest, TellsWhatAnotherProgramAdded) {
  store(kPlan);
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(server_->port()) + "\r\n\r\n");
  listener.read_until("data: {\"id\":1}\n\n");
  auto other = ledger::open((dir_ / "shop.db").string()).value();
  ASSERT_TRUE(other->add_plan({0, "2026-03-04T09:31:00", "bench.toml", "[shop]", kPlan, "{}"}));
  EXPECT_THAT(listener.read_until("data: {\"id\":2}\n\n"), HasSubstr("id: 2\nevent: plan"));
}

TEST_F(ServiceTest, ShowsSignsOfLife) {
  config_.heartbeat_ms = 20;
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: [::1]:" + std::to_string(server_->port()) + "\r\n\r\n");
  EXPECT_THAT(listener.read_until(": still here\n\n"), HasSubstr("retry: "));
  EXPECT_THAT(listener.read_until(": still here\n\n"), HasSubstr("still here"));
}

TEST_F(ServiceTest, KeepsTheEntryAndSaysSoWhenNoNewPlanCanBeMade) {
  store(kPlan);
  start([](ledger::Ledger&) -> Result<std::string> {
    Problem problem;
    problem.what = "the weather file is gone";
    problem.expected = "a file";
    problem.remedy = "put it back";
    return tl::unexpected(problem);
  });
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) + "\r\n\r\n");
  listener.read_until("data: {\"id\":1}\n\n");
  EXPECT_THAT(post(R"({"key":"a1","step":"P1-01","what":"done"})"), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(listener.read_until("put it back\"}\n\n"), HasSubstr("event: trouble\ndata: {\"what\":\"the weather"));
  EXPECT_EQ(ledger_->entries().value().size(), 1u);
  EXPECT_EQ(body_of(ask("GET", "/api/plan")), kPlan) << "the last good plan stays";
}

TEST_F(ServiceTest, SurvivesAReplanThatThrows) {
  store(kPlan);
  start([](ledger::Ledger&) -> Result<std::string> { throw std::runtime_error("boom"); });
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) + "\r\n\r\n");
  listener.read_until("data: {\"id\":1}\n\n");
  post(R"({"key":"a1","step":"P1-01","what":"done"})");
  EXPECT_THAT(listener.read_until("boom"), HasSubstr("event: trouble"));
  EXPECT_THAT(ask("GET", "/healthz"), StartsWith("HTTP/1.1 200"));
}

TEST_F(ServiceTest, TakesUpAnEntryThatTheLastRunLeftUnplanned) {
  store(kPlan);
  ASSERT_TRUE(ledger_->add_entry({0, "left", "2026-03-04T09:00:00", "P1-01", "done", ""}));
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) + "\r\n\r\n");
  EXPECT_THAT(listener.read_until("data: {\"id\":2}\n\n"), HasSubstr("event: plan"));
}

TEST_F(ServiceTest, RefusesBadEntriesWithTheReason) {
  store(kPlan);
  start();
  const auto expect = [&](const std::string& body, const char* status, const char* said) {
    const auto answer = post(body);
    EXPECT_THAT(answer, StartsWith(std::string("HTTP/1.1 ") + status)) << body;
    const json problem = json::parse(body_of(answer), nullptr, false);
    ASSERT_TRUE(problem.is_object()) << answer;
    EXPECT_THAT(problem["what"].get<std::string>(), HasSubstr(said)) << body;
    EXPECT_FALSE(problem["expected"].get<std::string>().empty());
    EXPECT_FALSE(problem["remedy"].get<std::string>().empty());
  };
  expect("{", "400", "not JSON");
  expect("{\"key\":\"\xff\"}", "400", "not JSON");
  expect("[]", "422", "not a JSON object");
  expect(R"({"step":"P1-01","what":"done"})", "422", "'key'");
  expect(R"({"key":"k","what":"done"})", "422", "'step'");
  expect(R"({"key":"k","step":"P1-01"})", "422", "'what'");
  expect(R"({"key":"k","step":"P1-01","what":"burnt"})", "422", "'what'");
  expect(R"({"key":7,"step":"P1-01","what":"done"})", "422", "'key' is not a text");
  expect(R"({"key":"k","step":"P9-99","what":"done"})", "422", "P9-99");
  expect(R"({"key":"k","step":"P1-01","what":"done","colour":"red"})", "422", "unknown field 'colour'");
  expect(R"({"key":"k","step":"P1-01","what":"done","when":"soon"})", "422", "");
  expect(R"({"key":"k","step":"P1-01","what":"done","when":"2026-03-05T00:00"})", "422", "future");
  expect(R"({"key":"k\u0000","step":"P1-01","what":"done"})", "422", "NUL");
  expect(R"({"key":")" + std::string(101, 'k') + R"(","step":"P1-01","what":"done"})", "422", "'key'");
  expect(R"({"key":"k","step":"P1-01","what":"done","note":")" + std::string(4001, 'n') + "\"}", "422", "'note'");
  for (const char* odd : {"0", "-5", "30001", "1.5", "1e300", "\"45\"", "null"})
    expect(std::string(R"({"key":"k","step":"P1-01","what":"done","took_min":)") + odd + "}", "422", "'took_min'");
  expect(R"({"key":"k","step":"P1-01","what":"tacky","took_min":5})", "422", "'took_min'");
  EXPECT_EQ(ledger_->entries().value().size(), 0u);
  EXPECT_EQ(replans_, 0);
}

TEST_F(ServiceTest, TurnsOtherSitesAway) {
  store(kPlan);
  start();
  const std::string port = std::to_string(server_->port());
  const std::string body = R"({"key":"k","step":"P1-01","what":"done"})";
  for (const std::string& host : {std::string("shop.example"), "shop.example:" + port, std::string("localhost:1"),
                                  "localhost.shop.example:" + port, std::string("localhost"), std::string("")}) {
    Client client(server_->port());
    client.send("GET /api/plan HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n");
    EXPECT_THAT(client.rest(), StartsWith("HTTP/1.1 403")) << host;
  }
  Client twice(server_->port());
  twice.send("GET /api/plan HTTP/1.1\r\nHost: localhost:" + port +
             "\r\nHost: shop.example\r\nConnection: close\r\n\r\n");
  EXPECT_THAT(twice.rest(), Not(StartsWith("HTTP/1.1 200")));
  for (const std::string& origin : {std::string("http://shop.example"), std::string("null"),
                                    "https://localhost:" + port, std::string("http://localhost:1")}) {
    EXPECT_THAT(ask("POST", "/api/log", kJson + ("Origin: " + origin + "\r\n"), body), StartsWith("HTTP/1.1 403"))
        << origin;
    EXPECT_THAT(ask("GET", "/api/events", "Origin: " + origin + "\r\n"), StartsWith("HTTP/1.1 403")) << origin;
  }
  EXPECT_THAT(ask("GET", "/api/plan", "Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: no-cors\r\n"),
              StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(ask("POST", "/api/log", "Content-Type: text/plain\r\n", body), StartsWith("HTTP/1.1 415"));
  EXPECT_THAT(ask("POST", "/api/log", "", body), StartsWith("HTTP/1.1 415"));
  EXPECT_EQ(ledger_->entries().value().size(), 0u);
  EXPECT_THAT(ask("POST", "/api/log", kJson + ("Origin: http://localhost:" + port + "\r\n"), body),
              StartsWith("HTTP/1.1 200"));
}

TEST_F(ServiceTest, ServesThePageAndNothingBesideIt) {
  start();
  const auto page = ask("GET", "/");
  EXPECT_THAT(page, StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(page, HasSubstr("Content-Type: text/html; charset=utf-8\r\n"));
  EXPECT_THAT(page, HasSubstr("Cache-Control: no-cache\r\n"));
  for (const char* header :
       {"Content-Security-Policy: default-src 'none'; script-src 'self'", "X-Content-Type-Options: nosniff",
        "Referrer-Policy: no-referrer", "frame-ancestors 'none'"}) {
    EXPECT_THAT(page, HasSubstr(header));
  }
  const auto script = ask("GET", "/assets/app-1a2b.js");
  EXPECT_THAT(script, HasSubstr("Content-Type: text/javascript; charset=utf-8\r\n"));
  EXPECT_THAT(script, HasSubstr("immutable"));
  EXPECT_THAT(ask("GET", "/assets/app-1a2b.css"), HasSubstr("Content-Type: text/css; charset=utf-8\r\n"));
  const auto tag_at = page.find("ETag: ");
  ASSERT_NE(tag_at, std::string::npos);
  const auto tag = page.substr(tag_at + 6, page.find("\r\n", tag_at) - tag_at - 6);
  EXPECT_THAT(ask("GET", "/", "If-None-Match: " + tag + "\r\n"), StartsWith("HTTP/1.1 304"));
  for (const char* path : {"/../secret.txt", "/..%2fsecret.txt", "/%2e%2e/secret.txt", "/assets/../../secret.txt",
                           "/assets/%2e%2e%2f%2e%2e%2fsecret.txt", "/link.txt", "/.hidden", "/..\\secret.txt",
                           "//etc/passwd", "/%00", "/%zz", "/assets", "/assets/", "/nothing", "/%"}) {
    const auto answer = ask("GET", path);
    EXPECT_THAT(answer, StartsWith("HTTP/1.1 404")) << path;
    EXPECT_THAT(answer, Not(HasSubstr("hush"))) << path;
    EXPECT_TRUE(json::parse(body_of(answer)).contains("remedy")) << path;
  }
  EXPECT_THAT(ask("DELETE", "/api/log"), StartsWith("HTTP/1.1 405"));
  EXPECT_THAT(ask("POST", "/api/plan", kJson, "{}"), HasSubstr("Allow: GET, HEAD"));
}

TEST_F(ServiceTest, SaysHowToBuildAMissingPage) {
  fs::remove(dir_ / "web/index.html");
  start();
  const auto answer = ask("GET", "/");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 503"));
  EXPECT_THAT(answer, HasSubstr("npm run build"));
}

TEST_F(ServiceTest, HoldsItsLimits) {
  config_.read_timeout_ms = 150;
  start();
  EXPECT_THAT(ask("POST", "/api/log", std::string(kJson) + "Content-Length: 1048577\r\n"), StartsWith("HTTP/1.1 413"));
  Client large(server_->port());
  large.send("POST /api/log HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n");
  for (int i = 0; i < 40; ++i) large.send("10000\r\n" + std::string(0x10000, 'x') + "\r\n");
  EXPECT_THAT(large.rest(), StartsWith("HTTP/1.1 413"));
  EXPECT_THAT(ask("GET", "/", "X-Long: " + std::string(20'000, 'x') + "\r\n"), StartsWith("HTTP/1.1 431"));
  Client odd(server_->port());
  odd.send("\x16\x03\x01 this is not HTTP\r\n\r\n");
  EXPECT_THAT(odd.rest(), StartsWith("HTTP/1.1 400"));
  Client slow(server_->port());
  slow.send("GET / HTTP/1.1\r\nHost: loc");
  EXPECT_EQ(slow.rest(), "") << "closed after the time for a request";
  EXPECT_THAT(ask("GET", "/healthz"), StartsWith("HTTP/1.1 200")) << "and still serving";
}

TEST_F(ServiceTest, AnswersSeveralRequestsOnOneConnection) {
  store(kPlan);
  start();
  Client client(server_->port());
  const std::string request =
      "GET /api/plan HTTP/1.1\r\nHost: localhost:" + std::to_string(server_->port()) + "\r\n\r\n";
  client.send(request + request);
  EXPECT_THAT(client.read_until(kPlan), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(client.read_until(kPlan), StartsWith("HTTP/1.1 200"));
}

TEST_F(ServiceTest, ManyWritersAtOnceLoseNothing) {
  store(kPlan);
  start();
  std::vector<std::thread> writers;
  for (int w = 0; w < 6; ++w) {
    writers.emplace_back([this, w] {
      for (int i = 0; i < 15; ++i) {
        EXPECT_THAT(
            post(R"({"key":"w)" + std::to_string(w) + "-" + std::to_string(i) + R"(","step":"P1-01","what":"tacky"})"),
            StartsWith("HTTP/1.1 200"));
      }
    });
  }
  for (auto& writer : writers) writer.join();
  EXPECT_EQ(ledger_->entries().value().size(), 90u);
}

TEST_F(ServiceTest, SaysWhenThePortIsTaken) {
  start();
  Config second = config_;
  second.port = server_->port();
  const auto other = Server::start(
      second, *ledger_, [](auto&) -> Result<std::string> { return std::string(); },
      [] { return std::string("2026-03-04T09:30:00"); });
  ASSERT_FALSE(other);
  EXPECT_THAT(other.error().remedy, HasSubstr("--port"));
}

TEST_F(ServiceTest, WhatWouldHelpIsWorkedOutOncePerPlanAndAnnounced) {
  std::atomic<int> asked{0};
  config_.slow["sooner"] = [&](ledger::Ledger&, const std::string&,
                               const std::function<bool()>& ending) -> Result<std::string> {
    EXPECT_FALSE(ending());
    ++asked;
    return std::string(R"({"tried":3,"helps":[]})");
  };
  store(kPlan);
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(server_->port()) + "\r\n\r\n");
  listener.read_until("event: plan");
  EXPECT_THAT(ask("GET", "/api/sooner"), StartsWith("HTTP/1.1 202"));
  EXPECT_THAT(listener.read_until("event: sooner"), HasSubstr("event: sooner"));
  for (int i = 0; i < 3; ++i) {
    const auto answer = ask("GET", "/api/sooner");
    EXPECT_THAT(answer, StartsWith("HTTP/1.1 200"));
    EXPECT_EQ(json::parse(body_of(answer))["tried"], 3);
  }
  EXPECT_EQ(asked, 1);
}

TEST_F(ServiceTest, WhatWouldHelpNeedsAPlan) {
  config_.slow["sooner"] = [](ledger::Ledger&, const std::string&,
                              const std::function<bool()>&) -> Result<std::string> { return std::string("{}"); };
  start();
  EXPECT_THAT(ask("GET", "/api/sooner"), StartsWith("HTTP/1.1 404"));
}

TEST_F(ServiceTest, ChangesToTheLookAreKeptAndCanBeRefused) {
  config_.accepts = [](ledger::Ledger&, const ledger::StoredChange& change) -> Result<void> {
    if (change.body.find("ugly") == std::string::npos) return {};
    Problem problem;
    problem.what = "not that";
    problem.remedy = "another";
    return tl::unexpected(problem);
  };
  config_.picture = [](const std::string& path) -> std::optional<Asset> {
    if (path != "cabinet/front.jpg") return {};
    return Asset{"image/jpeg", "bytes", ""};
  };
  store(kPlan);
  start();
  const std::string good = R"({"key":"c1","change":{"piece":"a","set":{"color":"teal"}}})";
  EXPECT_THAT(ask("POST", "/api/look", kJson, good), StartsWith("HTTP/1.1 200"));
  EXPECT_EQ(json::parse(body_of(ask("POST", "/api/look", kJson, good)))["new"], false);
  EXPECT_THAT(ask("POST", "/api/look", kJson, R"({"key":"c2","change":{"set":"ugly"}})"), StartsWith("HTTP/1.1 422"));
  EXPECT_THAT(ask("POST", "/api/look", kJson, R"({"key":"","change":{}})"), StartsWith("HTTP/1.1 422"));
  for (const char* bad :
       {"", "[]", "{}", R"({"key":"c3"})", R"({"key":3,"change":{}})", R"({"key":"c3","change":[]})"}) {
    EXPECT_THAT(ask("POST", "/api/look", kJson, bad), StartsWith("HTTP/1.1 400")) << bad;
  }
  const auto kept = json::parse(body_of(ask("GET", "/api/look")))["changes"];
  ASSERT_EQ(kept.size(), 1u);
  EXPECT_EQ(kept[0]["change"]["set"]["color"], "teal");
  EXPECT_THAT(ask("GET", "/api/picture/cabinet/front.jpg"), HasSubstr("image/jpeg"));
  EXPECT_THAT(ask("GET", "/api/picture/cabinet/other.jpg"), StartsWith("HTTP/1.1 404"));
  EXPECT_THAT(ask("DELETE", "/api/look"), StartsWith("HTTP/1.1 405"));
}

TEST_F(ServiceTest, PinsAreStoredOnceAndRefusedInWords) {
  std::atomic<int> asked{0};
  config_.pin = [&](ledger::Ledger&, const std::string& body) -> Result<std::string> {
    ++asked;
    if (json::parse(body)["start"] == "2026-03-04T03:00") {
      Problem problem;
      problem.what = "nobody is there";
      problem.remedy = "later";
      return tl::unexpected(problem);
    }
    EXPECT_FALSE(json::parse(body).contains("key"));
    return std::string(R"({"pin":"P1-01"})");
  };
  store(kPlan);
  start();
  const std::string good = R"({"key":"p1","step":"P1-01","start":"2026-03-04T17:30"})";
  EXPECT_EQ(json::parse(body_of(ask("POST", "/api/pin", kJson, good)))["new"], true);
  EXPECT_EQ(json::parse(body_of(ask("POST", "/api/pin", kJson, good)))["new"], false);
  EXPECT_EQ(asked, 1);
  EXPECT_THAT(ask("POST", "/api/pin", kJson, R"({"key":"p2","step":"P1-01","start":null,"seen":null})"),
              StartsWith("HTTP/1.1 200"));
  const std::string refused =
      ask("POST", "/api/pin", kJson, R"({"key":"p3","step":"P1-01","start":"2026-03-04T03:00"})");
  EXPECT_THAT(refused, StartsWith("HTTP/1.1 422"));
  EXPECT_EQ(json::parse(body_of(refused))["what"], "nobody is there");
  for (const char* bad :
       {R"({"key":"","step":"P1-01","start":null})", R"({"key":"p4","step":"","start":null})",
        R"({"key":"p4","step":"P1-01"})", R"({"key":"p4","step":"P1-01","start":7})",
        R"({"key":"p4","step":"P1-01","start":"soon"})", R"({"key":"p4","step":"P1-01","start":null,"seen":"soon"})",
        R"({"key":"p4","step":"P1-01","start":null,"more":1})"})
    EXPECT_THAT(ask("POST", "/api/pin", kJson, bad), StartsWith("HTTP/1.1 422")) << bad;
  for (const char* bad : {"", "[]", "{}", R"({"key":3})"})
    EXPECT_THAT(ask("POST", "/api/pin", kJson, bad), StartsWith("HTTP/1.1 400")) << bad;
  EXPECT_THAT(ask("GET", "/api/pin"), StartsWith("HTTP/1.1 405"));
  EXPECT_EQ(ledger_->changes()->size(), 2u);
}

TEST_F(ServiceTest, FilesBehindLinksAreMadeWhenAskedFor) {
  config_.made["template"] = [](ledger::Ledger&, const std::string& about, const std::string& query) -> Result<Asset> {
    if (about != "cabinet/case/sun") {
      Problem problem;
      problem.what = "no zone " + about;
      problem.remedy = "look it up";
      return tl::unexpected(problem);
    }
    return Asset{"application/pdf", "%PDF " + query, "cabinet/case/\"sun\r\nX: y.pdf"};
  };
  start();
  const std::string answer = ask("GET", "/api/template/cabinet/case/sun?paper=letter");
  EXPECT_THAT(answer, StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(answer, HasSubstr("Content-Type: application/pdf"));
  // A name cannot leave the header it stands in.
  EXPECT_THAT(answer, HasSubstr("filename=\"cabinet-case--sun--X--y.pdf\""));
  EXPECT_EQ(body_of(answer), "%PDF paper=letter");
  EXPECT_EQ(body_of(ask("GET", "/api/template/cabinet%2Fcase/sun")), "%PDF ");
  const std::string refused = ask("GET", "/api/template/cabinet/case/<b>");
  EXPECT_THAT(refused, StartsWith("HTTP/1.1 422"));
  EXPECT_EQ(json::parse(body_of(refused))["what"], "no zone cabinet/case/<b>");
  EXPECT_THAT(ask("POST", "/api/template/cabinet/case/sun", kJson, "{}"), StartsWith("HTTP/1.1 405"));
  // About nothing: its maker says what is missing. What nobody makes is not there.
  EXPECT_THAT(ask("GET", "/api/template"), StartsWith("HTTP/1.1 422"));
  EXPECT_THAT(ask("GET", "/api/templates"), StartsWith("HTTP/1.1 404"));
}

TEST_F(ServiceTest, SlowAnswersAreAskedAgainWhenTheLookChanges) {
  std::atomic<int> asked{0};
  config_.slow["boards"] = [&](ledger::Ledger&, const std::string& about,
                               const std::function<bool()>&) -> Result<std::string> {
    ++asked;
    return "{\"about\":\"" + about + "\"}";
  };
  config_.accepts = [](ledger::Ledger&, const ledger::StoredChange&) -> Result<void> { return {}; };
  store(kPlan);
  start();
  Client listener(server_->port());
  listener.send("GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(server_->port()) + "\r\n\r\n");
  listener.read_until("event: plan");
  EXPECT_THAT(ask("GET", "/api/boards/cabinet"), StartsWith("HTTP/1.1 202"));
  listener.read_until("event: boards");
  EXPECT_EQ(json::parse(body_of(ask("GET", "/api/boards/cabinet")))["about"], "cabinet");
  EXPECT_THAT(ask("GET", "/api/boards/stool"), StartsWith("HTTP/1.1 202"));
  listener.read_until("event: boards");
  EXPECT_THAT(ask("POST", "/api/look", kJson, R"({"key":"c1","change":{}})"), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(ask("GET", "/api/boards/cabinet"), StartsWith("HTTP/1.1 202"));
  listener.read_until("event: boards");
  EXPECT_EQ(asked, 3);
}

// Read back by gzip(1), which knows nothing of us.
TEST_F(ServiceTest, TextIsCompressedForWhoeverTakesIt) {
  std::string plan = kPlan;
  plan.insert(plan.size() - 1, R"(,"notes":")" + std::string(5000, 'n') + "\"");
  store(plan);
  start();
  const std::string plain = ask("GET", "/api/plan");
  EXPECT_THAT(plain, Not(HasSubstr("Content-Encoding")));
  EXPECT_THAT(plain, HasSubstr("Vary: Accept-Encoding"));
  for (int i = 0; i < 2; ++i) {
    const std::string small = ask("GET", "/api/plan", "Accept-Encoding: br;q=1.0, gzip;q=0.8, *;q=0.1\r\n");
    EXPECT_THAT(small, HasSubstr("Content-Encoding: gzip"));
    EXPECT_THAT(small, HasSubstr("ETag: W/\"plan-1\""));
    EXPECT_LT(body_of(small).size(), 500u);
    write("small.gz", body_of(small));
    FILE* pipe = popen(("gzip -dc '" + (dir_ / "small.gz").string() + "'").c_str(), "r");
    ASSERT_NE(pipe, nullptr);
    std::string back(2 * body_of(plain).size(), '\0');
    back.resize(fread(back.data(), 1, back.size(), pipe));
    EXPECT_EQ(pclose(pipe), 0);
    EXPECT_EQ(back, body_of(plain));
  }
  EXPECT_THAT(ask("GET", "/api/plan", "If-None-Match: W/\"plan-1\"\r\n"), StartsWith("HTTP/1.1 304"));
  for (const char* not_wanted : {"gzip;q=0", "identity", "br", "gzip;q=0, *"})
    EXPECT_THAT(ask("GET", "/api/plan", std::string("Accept-Encoding: ") + not_wanted + "\r\n"),
                Not(HasSubstr("Content-Encoding")))
        << not_wanted;
  EXPECT_THAT(ask("GET", "/", "Accept-Encoding: gzip\r\n"), Not(HasSubstr("Content-Encoding")));  // too small to gain
}

}  // namespace
}  // namespace tackcloth::service
