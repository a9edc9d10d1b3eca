// A store with one plan, served.
#pragma once

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <string>
#include <thread>

#include "ledger/ledger.h"
#include "service/service.h"

namespace tackcloth::service {

class Served : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (std::filesystem::temp_directory_path() / "tackcloth-served-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    dir_ = pattern;
    std::filesystem::create_directories(dir_ / "web");
    std::ofstream(dir_ / "web/index.html") << "<!doctype html><title>page</title>";
    ledger_ = ledger::open((dir_ / "shop.db").string()).value();
    ASSERT_TRUE(ledger_->add_plan({0, "2026-03-04T08:00:00", "bench.toml", "[shop]",
                                   R"({"shop":"Bench","pieces":[{"id":"P1","schedule":[{"id":"P1-01"}]}]})", "{}"}));
    config_.port = 0;
    config_.web_root = (dir_ / "web").string();
  }
  void TearDown() override {
    stop();
    server_.reset();
    std::filesystem::remove_all(dir_);
  }
  void start() {
    auto server = Server::start(
        config_, *ledger_, [](ledger::Ledger&) -> Result<std::string> { return std::string("{}"); },
        [] { return std::string("2026-03-04T09:30:00"); });
    ASSERT_TRUE(server) << server.error().what;
    server_ = std::move(*server);
    thread_ = std::thread([this] { server_->run(); });
  }
  void stop() {
    if (!thread_.joinable()) return;
    server_->stop();
    thread_.join();
  }

  std::filesystem::path dir_;
  std::unique_ptr<ledger::Ledger> ledger_;
  Config config_;
  std::unique_ptr<Server> server_;
  std::thread thread_;
};

}  // namespace tackcloth::service
