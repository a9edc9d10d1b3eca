#include "ledger/everything.h"

#include <archive.h>
#include <archive_entry.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "full_disk.h"

namespace tackcloth::ledger {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

class EverythingTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "tackcloth-everything-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    dir_ = pattern;
  }
  void TearDown() override { fs::remove_all(dir_); }
  std::string at(const char* name) const { return (dir_ / name).string(); }
  static std::string bytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
  }
  std::unique_ptr<Ledger> filled() const {
    auto ledger = open(at("shop.db")).value();
    for (const char* name : {"one", "двері 'çà' \"ñ\"\n"})
      EXPECT_TRUE(ledger->add_plan({0, "2026-03-04T08:00:00", name, "[shop]\n", R"({"shop":"é"})", R"({"seed":7})"}));
    StoredEntry entry{0, "k1", "2026-03-04T09:15:00", "P1-03", "done", "thin\ncoat", R"({"step":"wash"})"};
    EXPECT_TRUE(ledger->add_entry(entry));
    entry.key = "k2";
    entry.mark.clear();
    entry.took_min = 45;
    EXPECT_TRUE(ledger->add_entry(entry));
    EXPECT_TRUE(ledger->add_change({0, "c1", "2026-03-04T09:20:00", R"({"put":"shop"})"}));
    photo_ = std::string("\xFF\xD8\xFF", 3);
    for (int i = 0; i < 200'000; ++i) photo_ += static_cast<char>(i * 7 + i / 251);
    EXPECT_TRUE(ledger->add_photo_bytes({"photo-1", "2026-03-04T09:20:00", static_cast<long long>(photo_.size()), 0}, 0,
                                        photo_.substr(0, 1000)));
    EXPECT_TRUE(ledger->add_photo_bytes({"photo-1", "2026-03-04T09:20:00", static_cast<long long>(photo_.size()), 0},
                                        1000, photo_.substr(1000)));
    EXPECT_TRUE(ledger->add_photo_bytes({"half", "2026-03-04T09:21:00", 10, 0}, 0, "\xFF\xD8\xFF"));
    EXPECT_TRUE(ledger->add_phone({0, std::string(64, 'a'), "phone", "2026-03-04T09:00:00"}));
    return ledger;
  }

  // The members of the file one after the other, by libarchive itself; and back into a file, so that it can be spoilt.
  using Members = std::vector<std::pair<std::string, std::string>>;
  static Members unpacked(const std::string& file) {
    Members members;
    archive* in = archive_read_new();
    archive_read_support_filter_gzip(in);
    archive_read_support_format_tar(in);
    EXPECT_EQ(archive_read_open_filename(in, file.c_str(), 1 << 16), ARCHIVE_OK);
    archive_entry* head = nullptr;
    while (archive_read_next_header(in, &head) == ARCHIVE_OK) {
      std::string content(static_cast<std::size_t>(archive_entry_size(head)), '\0');
      EXPECT_EQ(archive_read_data(in, content.data(), content.size()), static_cast<la_ssize_t>(content.size()));
      members.emplace_back(archive_entry_pathname(head), content);
    }
    archive_read_free(in);
    return members;
  }
  static void pack(const Members& members, const std::string& file) {
    archive* out = archive_write_new();
    archive_write_add_filter_gzip(out);
    archive_write_set_format_pax_restricted(out);
    ASSERT_EQ(archive_write_open_filename(out, file.c_str()), ARCHIVE_OK);
    for (const auto& [name, content] : members) {
      archive_entry* head = archive_entry_new();
      archive_entry_set_pathname(head, name.c_str());
      archive_entry_set_size(head, static_cast<la_int64_t>(content.size()));
      archive_entry_set_filetype(head, AE_IFREG);
      archive_write_header(out, head);
      archive_write_data(out, content.data(), content.size());
      archive_entry_free(head);
    }
    archive_write_free(out);
  }
  // Reads it into a new store; says why not, and that nothing came of it.
  std::string why_not(const std::string& file) {
    auto ledger = open(at(("new" + std::to_string(++news_) + ".db").c_str())).value();
    const auto done = read_everything(file, *ledger);
    EXPECT_TRUE(is_empty(*ledger).value() || done);
    return done ? "" : done.error().what;
  }

  fs::path dir_;
  mutable std::string photo_;
  int news_ = 0;
};

TEST_F(EverythingTest, ComesBackAsItWas) {
  const auto before = filled();
  ASSERT_TRUE(write_everything(*before, at("all.tar.gz")));
  auto after = open(at("other.db")).value();
  const auto done = read_everything(at("all.tar.gz"), *after);
  ASSERT_TRUE(done) << done.error().what;
  ASSERT_TRUE(write_everything(*after, at("again.tar.gz")));
  EXPECT_EQ(bytes(at("all.tar.gz")), bytes(at("again.tar.gz"))) << "the same to the last byte";

  const auto plans = after->plans().value();
  ASSERT_EQ(plans.size(), 2u);
  EXPECT_EQ(plans[1].job_name, "двері 'çà' \"ñ\"\n");
  EXPECT_EQ(plans[1].plan_json, R"({"shop":"é"})");
  EXPECT_EQ(plans[1].options_json, R"({"seed":7})");
  EXPECT_EQ(plans[1].job_toml, "[shop]\n");
  const auto entries = after->entries().value();
  ASSERT_EQ(entries.size(), 2u);
  EXPECT_EQ(entries[0].note, "thin\ncoat");
  EXPECT_EQ(entries[0].mark, R"({"step":"wash"})");
  EXPECT_EQ(entries[0].took_min, 0);
  EXPECT_EQ(entries[1].took_min, 45);
  EXPECT_EQ(after->changes().value().at(0).body, R"({"put":"shop"})");
  EXPECT_EQ(after->photo_bytes("photo-1").value(), photo_);
  EXPECT_EQ(after->photos().value().size(), 1u) << "one that is still on its way is on the telephone";
  EXPECT_TRUE(after->phones().value().empty()) << "pairing stays with the machine";
  // Keys are kept: what is sent again is not stored again.
  EXPECT_EQ(after->add_entry(entries[1]).value(), entries[1].id);
  EXPECT_EQ(after->entries().value().size(), 2u);
}

TEST_F(EverythingTest, AnEmptyStoreComesBackToo) {
  ASSERT_TRUE(write_everything(*open(at("empty.db")).value(), at("all.tar.gz")));
  EXPECT_EQ(why_not(at("all.tar.gz")), "");
}

TEST_F(EverythingTest, LeavesAFilledStoreAndAFileThatIsThereAlone) {
  const auto ledger = filled();
  ASSERT_TRUE(write_everything(*ledger, at("all.tar.gz")));
  const auto refused = read_everything(at("all.tar.gz"), *ledger);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().what, HasSubstr("something in this store already"));
  EXPECT_EQ(ledger->plans().value().size(), 2u);
  const std::string before = bytes(at("all.tar.gz"));
  EXPECT_FALSE(write_everything(*ledger, at("all.tar.gz")));
  EXPECT_EQ(bytes(at("all.tar.gz")), before);
  EXPECT_FALSE(write_everything(*ledger, at("no/such/place")));
  EXPECT_FALSE(fs::exists(at("no/such/place.part")));
}

TEST_F(EverythingTest, SaysWhatIsDamagedAndBringsNothingBack) {
  ASSERT_TRUE(write_everything(*filled(), at("all.tar.gz")));
  const std::string whole = bytes(at("all.tar.gz"));
  const auto write = [&](const std::string& content) { std::ofstream(at("odd"), std::ios::binary) << content; };
  for (const std::size_t cut : {std::size_t{1}, std::size_t{20}, whole.size() / 2, whole.size() - 9}) {
    write(whole.substr(0, cut));
    EXPECT_NE(why_not(at("odd")), "") << "cut at " << cut;
  }
  write("not this at all");
  EXPECT_THAT(why_not(at("odd")), HasSubstr("not a file with everything"));
  write("");
  EXPECT_NE(why_not(at("odd")), "");
  EXPECT_THAT(why_not(at("nowhere")), HasSubstr("no such file"));

  const Members members = unpacked(at("all.tar.gz"));
  ASSERT_EQ(members.size(), 6u);
  for (std::size_t i = 1; i < members.size(); ++i) {
    if (members[i].second.empty()) continue;
    Members odd = members;
    odd[i].second.back() ^= 1;
    pack(odd, at("odd"));
    EXPECT_NE(why_not(at("odd")), "") << members[i].first << " has one bit changed";
    odd = members;
    odd[i].second += odd[i].second;
    pack(odd, at("odd"));
    EXPECT_THAT(why_not(at("odd")), HasSubstr("longer than")) << members[i].first;
    odd = members;
    odd.erase(odd.begin() + static_cast<std::ptrdiff_t>(i));
    pack(odd, at("odd"));
    EXPECT_NE(why_not(at("odd")), "") << members[i].first << " is missing";
  }
  Members more = members;
  more.emplace_back("../../etc/odd", "x");
  pack(more, at("odd"));
  EXPECT_THAT(why_not(at("odd")), HasSubstr("behind its end"));
  EXPECT_EQ(why_not(at("all.tar.gz")), "") << "the file itself is good";
}

TEST_F(EverythingTest, RefusesANewerOneAndABomb) {
  ASSERT_TRUE(write_everything(*filled(), at("all.tar.gz")));
  const Members members = unpacked(at("all.tar.gz"));
  const auto with_manifest = [&](const auto& change) {
    Members odd = members;
    auto manifest = nlohmann::ordered_json::parse(odd[0].second);
    change(manifest);
    odd[0].second = manifest.dump();
    pack(odd, at("odd"));
    return why_not(at("odd"));
  };
  EXPECT_EQ(with_manifest([](auto&) {}), "");
  EXPECT_THAT(with_manifest([](auto& m) { m["schema_version"] = 999; }), HasSubstr("newer"));
  EXPECT_THAT(with_manifest([](auto& m) { m["format"] = 2; }), HasSubstr("newer"));
  EXPECT_THAT(with_manifest([](auto& m) { m["members"][0]["bytes"] = 9'000'000'000'000LL; }), HasSubstr("too large"));
  EXPECT_THAT(with_manifest([](auto& m) { m["members"][0]["bytes"] = -1; }), HasSubstr("cannot be read"));
  EXPECT_THAT(with_manifest([](auto& m) { m["members"].erase(4); }), HasSubstr("behind its end"));
  // Small when packed, 300 MB of zeros when not: reading ends where the list says it does.
  Members bomb = members;
  bomb[2].second.assign(300'000'000, '\0');
  pack(bomb, at("bomb"));
  EXPECT_LT(fs::file_size(at("bomb")), 1'000'000u);
  EXPECT_THAT(why_not(at("bomb")), HasSubstr("longer than"));
}

TEST_F(EverythingTest, AFullDiskBringsNothingBack) {
  ASSERT_TRUE(write_everything(*filled(), at("all.tar.gz")));
  FullDisk disk;
  auto ledger = open(at("full.db")).value();
  disk.fill();
  const auto done = read_everything(at("all.tar.gz"), *ledger);
  ASSERT_FALSE(done);
  EXPECT_TRUE(is_no_room(done.error())) << done.error().what;
  EXPECT_TRUE(is_empty(*ledger).value());
  disk.make_room();
  EXPECT_TRUE(read_everything(at("all.tar.gz"), *ledger));
}

}  // namespace
}  // namespace tackcloth::ledger
