// Everything as one file, over HTTP.
#include "service/everything.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "service/http.h"

namespace tackcloth::service {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

class EverythingAtTheDesk : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "tackcloth-desk-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    dir_ = pattern;
    from_ = ledger::open((dir_ / "from.db").string()).value();
    into_ = ledger::open((dir_ / "into.db").string()).value();
    ASSERT_TRUE(from_->add_entry({0, "k1", "2026-03-04T09:15:00", "P1-03", "done", ""}));
  }
  void TearDown() override {
    from_.reset();
    into_.reset();
    fs::remove_all(dir_);
  }
  static Request request(const std::string& method, const std::string& query = "", const std::string& body = "") {
    Request request;
    request.method = method;
    request.target = std::string(kEverything) + query;
    request.body = body;
    return request;
  }
  Response send(Everything& desk, const std::string& bytes, std::size_t from, std::size_t to) {
    return *desk.desk(request("POST", "?size=" + std::to_string(bytes.size()) + "&offset=" + std::to_string(from),
                              bytes.substr(from, to - from)),
                      back_);
  }

  fs::path dir_;
  std::unique_ptr<ledger::Ledger> from_, into_;
  const Clock clock_ = [] { return std::string("2026-03-04T09:30:00"); };
  bool back_ = false;
};

TEST_F(EverythingAtTheDesk, GoesOutAndComesBackInPieces) {
  Everything out(*from_, clock_), in(*into_, clock_);
  const auto saved = *out.desk(request("GET"), back_);
  ASSERT_EQ(saved.status, 200) << saved.body;
  EXPECT_THAT(saved.headers.at("Content-Disposition"), HasSubstr("tackcloth-everything-2026-03-04.tar.gz"));
  const std::string& bytes = saved.body;
  EXPECT_EQ(send(out, bytes, 0, bytes.size()).status, 422) << "not into a store that holds something";
  EXPECT_EQ(send(in, bytes, 0, 100).status, 200);
  EXPECT_EQ(send(in, bytes, 101, bytes.size()).status, 409);
  EXPECT_FALSE(back_);
  EXPECT_EQ(send(in, bytes, 0, 50).status, 200) << "begun anew";
  EXPECT_EQ(send(in, bytes, 50, bytes.size()).status, 200);
  EXPECT_TRUE(back_);
  EXPECT_EQ(into_->entries().value().at(0).key, "k1");
  EXPECT_EQ(send(in, bytes, 0, bytes.size()).status, 422);
}

TEST_F(EverythingAtTheDesk, OddPiecesAreRefused) {
  Everything in(*into_, clock_);
  const auto status = [&](const std::string& query, const std::string& body) {
    return in.desk(request("POST", query, body), back_)->status;
  };
  EXPECT_EQ(status("", "x"), 400);
  EXPECT_EQ(status("?size=1&offset=0", ""), 400);
  EXPECT_EQ(status("?size=1&offset=0", "xy"), 400);
  EXPECT_EQ(status("?size=9&offset=-1", "x"), 400);
  EXPECT_EQ(status("?size=9000000000000&offset=0", "x"), 413);
  EXPECT_EQ(status("?size=9&offset=3", "x"), 409);
  EXPECT_EQ(status("?size=1&offset=0", "x"), 422);
  EXPECT_EQ(in.desk(request("PUT"), back_)->status, 405);
  Request other;
  other.method = "GET";
  other.target = "/api/log";
  EXPECT_FALSE(in.desk(other, back_));
  EXPECT_FALSE(back_);
  EXPECT_TRUE(into_->entries().value().empty());
}

}  // namespace
}  // namespace tackcloth::service
