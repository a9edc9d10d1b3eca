#include "cli/kept.h"

#include "run.h"

namespace tackcloth::cli {
namespace {

namespace fs = std::filesystem;

class KeptTest : public InDirectory {
 protected:
  Results<std::shared_ptr<const std::string>> get() {
    return kept_.get(dir_.string(), [this](const std::string& directory) -> Results<std::string> {
      ++made_;
      std::ifstream in(fs::path(directory) / "a.toml");
      std::string text;
      std::getline(in, text);
      if (text == "bad") return tl::unexpected(std::vector<Problem>{Problem{"a.toml", 1, 1, "it is bad", "", ""}});
      return text;
    });
  }
  std::string text() {
    const auto got = get();
    return got ? **got : got.error().front().what;
  }
  // The time moves on by a minute, so that the test does not hang on how fine the file system's clock is.
  void later(const std::string& name) {
    fs::last_write_time(dir_ / name, fs::last_write_time(dir_ / name) + std::chrono::minutes(1));
  }

  Kept<std::string> kept_;
  int made_ = 0;
};

TEST_F(KeptTest, IsMadeOnceAndAgainWhenAFileIsAnother) {
  file("a.toml", "one");
  EXPECT_EQ(text(), "one");
  EXPECT_EQ(text(), "one");
  EXPECT_EQ(made_, 1);
  const auto before = *get();
  file("a.toml", "two");  // as long as before: the time alone tells
  later("a.toml");
  EXPECT_EQ(text(), "two");
  EXPECT_EQ(*before, "one") << "who holds the last one keeps it";
  EXPECT_EQ(made_, 2);
  const auto time = fs::last_write_time(dir_ / "a.toml");
  file("a.toml", "three");  // the size alone
  fs::last_write_time(dir_ / "a.toml", time);
  EXPECT_EQ(text(), "three");
  EXPECT_EQ(made_, 3);
  fs::create_directories(dir_ / "products");
  EXPECT_EQ(text(), "three");
  EXPECT_EQ(made_, 3) << "no file came";
  file("products/b.toml", "");
  text();
  EXPECT_EQ(made_, 4) << "one came below";
  fs::remove(dir_ / "products/b.toml");
  text();
  text();
  EXPECT_EQ(made_, 5) << "and went";
}

TEST_F(KeptTest, WhatCannotBeReadIsToldUntilItIsMended) {
  file("a.toml", "one");
  EXPECT_EQ(text(), "one");
  file("a.toml", "bad");
  later("a.toml");
  EXPECT_EQ(text(), "it is bad");
  EXPECT_EQ(text(), "it is bad") << "never what was kept before";
  file("a.toml", "good");
  EXPECT_EQ(text(), "good");
}

TEST_F(KeptTest, AnotherDirectoryIsAnotherThing) {
  file("a.toml", "one");
  EXPECT_EQ(text(), "one");
  const std::string elsewhere = (dir_ / "elsewhere").string();
  fs::create_directories(elsewhere);
  const auto got = kept_.get(elsewhere, [](const std::string&) -> Results<std::string> { return std::string("none"); });
  ASSERT_TRUE(got);
  EXPECT_EQ(**got, "none");
}

}  // namespace
}  // namespace tackcloth::cli
