// An entry on a full disk: a clear answer, nothing acknowledged is lost, and it goes on when there is room again.
#include "../ledger/full_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <thread>

#include "client.h"
#include "service/service.h"

namespace tackcloth::service {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::StartsWith;

TEST(FullDiskTest, AnEntryIsRefusedClearlyAndTakenWhenThereIsRoom) {
  std::string pattern = (fs::temp_directory_path() / "tackcloth-full-XXXXXX").string();
  ASSERT_NE(mkdtemp(pattern.data()), nullptr);
  const std::string data = (fs::path(pattern) / "shop.db").string();
  ledger::FullDisk disk;
  auto ledger = ledger::open(data).value();
  ASSERT_TRUE(ledger->add_plan({0, "2026-03-04T08:00:00", "bench.toml", "[shop]",
                                R"({"pieces":[{"id":"P1","schedule":[{"id":"P1-01"}]}]})", "{}"}));
  Config config;
  config.port = 0;
  config.accepts = [](ledger::Ledger&, const ledger::StoredChange&) -> Result<void> { return {}; };
  auto server = Server::start(
      config, *ledger, [](ledger::Ledger&) -> Result<std::string> { return std::string("{}"); },
      [] { return std::string("2026-03-04T09:30:00"); });
  ASSERT_TRUE(server) << server.error().what;
  std::thread running([&] { (*server)->run(); });
  const auto ask = [&](const std::string& method, const std::string& target, const std::string& body = "",
                       const std::string& type = "application/json") {
    return Client((*server)->port()).ask(method, target, "Content-Type: " + type + "\r\n", body);
  };
  const auto entry = [](const std::string& key) { return R"({"key":")" + key + R"(","step":"P1-01","what":"done"})"; };
  EXPECT_THAT(ask("POST", "/api/log", entry("a")), StartsWith("HTTP/1.1 200"));
  disk.fill();
  const auto full = ask("POST", "/api/log", entry("b"));
  EXPECT_THAT(full, StartsWith("HTTP/1.1 507"));
  EXPECT_THAT(full, HasSubstr("free some space"));
  EXPECT_THAT(ask("POST", "/api/log", entry("a")), StartsWith("HTTP/1.1 200")) << "it is stored already";
  EXPECT_THAT(ask("POST", "/api/look", R"({"key":"c","change":{}})"), StartsWith("HTTP/1.1 507"));
  EXPECT_THAT(ask("POST", "/api/photo/p1?size=4&offset=0", "\xFF\xD8\xFF\xE0", "application/octet-stream"),
              StartsWith("HTTP/1.1 507"));
  EXPECT_THAT(ask("GET", "/api/log"), HasSubstr("\"key\":\"a\"")) << "and all of it can be read";
  disk.make_room();
  EXPECT_THAT(ask("POST", "/api/log", entry("b")), HasSubstr("\"new\":true"));
  (*server)->stop();
  running.join();
  server->reset();
  ledger = ledger::open(data).value();
  EXPECT_EQ(ledger->entries().value().size(), 2u);
  EXPECT_TRUE(ledger->changes().value().empty());
  ledger.reset();
  fs::remove_all(pattern);
}

}  // namespace
}  // namespace tackcloth::service
