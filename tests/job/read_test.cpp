#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <random>

#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using testing::changed;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::kSample;
using testing::small_catalog;

std::vector<Problem> refused(const std::string& text) {
  const auto job = parse_job(text, "job.toml", small_catalog());
  EXPECT_FALSE(job.has_value()) << text.substr(0, 200);
  if (job) return {Problem{}};
  for (const Problem& problem : job.error()) {
    EXPECT_EQ(problem.file, "job.toml");
    EXPECT_FALSE(problem.what.empty());
    EXPECT_FALSE(problem.expected.empty());
    EXPECT_FALSE(problem.remedy.empty());
  }
  return job.error();
}

TEST(Job, ReadsEveryKey) {
  const auto read = parse_job(kSample, "job.toml", small_catalog());
  ASSERT_TRUE(read) << to_text(read.error().front());
  const Job& job = *read;
  EXPECT_EQ(to_iso(*job.start), "2027-04-05T17:00:00");
  EXPECT_EQ(job.shop.system, units::System::us);
  EXPECT_EQ(job.shop.hourly_rate.minor, 3250);
  EXPECT_EQ(job.shop.profit_percent, 8.5);
  ASSERT_EQ(job.shop.rooms.size(), 2u);
  EXPECT_NEAR(job.shop.rooms[0].set_point->temp_c, 20, 1e-9);
  EXPECT_NEAR(job.shop.rooms[0].set_point->rh, 0.5, 1e-12);
  EXPECT_EQ(job.shop.rooms[0].fan_m3_h, 250);
  EXPECT_EQ(job.shop.rooms[0].spray_places, 1);
  EXPECT_FALSE(job.shop.rooms[1].set_point);
  EXPECT_EQ(job.shop.rooms[1].follow.time_constant_h, 9);
  EXPECT_EQ(job.shop.rooms[1].follow.heated_to_c, 5.0);
  EXPECT_NEAR(*job.shop.rooms[1].follow.dried_to_rh, 0.6, 1e-12);
  const Person& ann = job.shop.people[0];
  ASSERT_EQ(ann.week[6].size(), 2u);  // sorted
  EXPECT_EQ(ann.week[6][0].from_min, 510);
  EXPECT_EQ(ann.week[0][0].to_min, 1440);
  ASSERT_EQ(ann.exceptions.size(), 1u);
  EXPECT_TRUE(ann.exceptions[0].hours.empty());
  ASSERT_EQ(job.shelf.size(), 2u);
  EXPECT_NEAR(job.shelf[0].amount, 0.946352946, 1e-9);  // NIST SP 811
  EXPECT_EQ(job.shelf[1].amount, 3);
  const PieceOrder& order = job.pieces[0];
  EXPECT_EQ(order.room, "garage");
  EXPECT_EQ(order.weight, 2);
  EXPECT_EQ(order.piece.year, 1936);
  EXPECT_EQ(order.piece.lead_test_negative, true);
  EXPECT_EQ(order.piece.resting_units, 2);
  EXPECT_NEAR(order.piece.footprint_m2, 0.4, 1e-12);
  const piece::Part& box = order.piece.parts[0];
  EXPECT_NEAR(box.depth_mm, 300.0375, 1e-9);
  EXPECT_EQ(box.substrate.veneer_um, 600);
  EXPECT_TRUE(box.has_wiring && box.old_glue && box.stubborn_finish && !box.grimy && !box.sand);
  EXPECT_NEAR(box.zones[0].area_m2, 2 * std::numbers::pi * 0.19 * 0.19 / 2, 1e-12);
  EXPECT_EQ(box.zones[0].coats, 2);
  EXPECT_THAT(box.zones[0].wanted, ElementsAre("varnish"));
  const piece::Part& leg = order.piece.parts[1];
  EXPECT_LT(leg.profile[2].bulge, 0);  // bows outwards
  EXPECT_EQ(leg.existing, piece::Existing::unknown);
  EXPECT_GT(leg.zones[0].area_m2, 0);
}

TEST(Job, TellsWhereAndHowToMend) {
  const auto problems = refused(changed("species = \"walnut\"", "species = \"wallnut\""));
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].line, 68);
  EXPECT_EQ(problems[0].column, 46);
  EXPECT_EQ(problems[0].remedy, "did you mean 'walnut'?");
}

TEST(Job, EveryMistakeIsRefused) {
  const std::vector<std::array<std::string, 3>> mistakes = {
      {"schema = 1", "schema = 2", "later version"},
      {"schema = 1", "", "'schema' is missing"},
      {"units = \"us\"", "units = \"imperial\"", "'imperial'"},
      {"currency = \"EUR\"", "currency = \"euro\"", "no currency"},
      {"hourly_rate = \"32.50\"", "hourly_rate = \"-1\"", ""},
      {"hourly_rate = \"32.50\"", "", "'hourly_rate' is missing"},
      {"tax_percent = 20", "tax_percent = nan", "not a number"},
      {"volume_m3 = 46", "volume_m3 = -46", "-46"},
      {"resting_places = 4", "resting_places = 2.5", "resting_places"},
      {"\"68 F\"", "\"680 F\"", "cannot be"},
      {"humidity = \"50%\"", "humidity = \"150%\"", "cannot be"},
      {"set_point = {", "follows_outdoors = {}\nset_point = {", "and follows outdoors"},
      {"id = \"garage\"\n", "id = \"bench\"\n", "already"},
      {"mon = [\"17:30-21:30\"]", "mon = [\"21:30-17:30\"]", "ends before"},
      {"mon = [\"17:30-21:30\"]", "mon = [\"17:30-25:00\"]", "no hours"},
      {"mon = [\"17:30-21:30\"]", "mon = [\"17:30 to 21:30\"]", "no hours"},
      {"mon = [\"17:30-21:30\"]", "mon = [\"17:30-21:30\", \"20:00-22:00\"]", "overlap"},
      {"mon = [\"17:30-21:30\"]", "monday = [\"17:30-21:30\"]", "'monday' is not known"},
      {"day = 2027-04-17", "day = \"soon\"", "not a date"},
      {"product = \"varnish\"\namount", "product = \"varnsh\"\namount", "no product"},
      {"amount = \"1 qt\"", "amount = \"1\"", "amount"},
      {"amount = 3", "amount = \"3 qt\"", "amount"},
      {"year = 1936", "year = 36", "36"},
      {"year = 1936", "year = \"old\"", "no year"},
      {"room = \"garage\"", "room = \"attic\"", "no room"},
      {"room = \"garage\"", "", "in which room"},
      {"lead_test = \"negative\"", "lead_test = \"no\"", "'no'"},
      {"two_person_steps = [\"carry\"]", "two_person_steps = [\"cary\"]", "no step"},
      {"kind = \"box\"", "kind = \"bax\"", "'bax'"},
      {"width = \"68 cm\"", "width = \"-68 cm\"", "cannot be"},
      {"width = \"68 cm\"", "width = \"68\"", "width"},
      {"width = \"68 cm\"", "width = 68", "'width' is a number"},
      {"width = \"68 cm\"", "width = \"68 km\"", "width"},
      {"width = \"68 cm\"", "", "width is missing"},
      {"width = \"68 cm\"", "width = \"68 cm\"\ngirth = \"3 cm\"", "says nothing about a box"},
      {"veneer = \"0.6 mm\"", "veneer = \"60 mm\"", "cannot be"},
      {"material = \"veneer\"", "material = \"metal\"", "no species"},
      {"hidden_faces = [\"bottom\", \"back\"]", "hidden_faces = [\"botom\"]", "no face"},
      {"hidden_faces = [\"bottom\", \"back\"]", "hidden_faces = [\"front\"]", "hidden"},
      {"id = \"rest\"", "id = \"sun\"", "already"},
      {"face = \"front\"", "face = \"lid\"", "no face"},
      {"radius = \"19 cm\"", "radius = \"45 cm\"", "leaves face"},
      {"[[shelf]]\nproduct = \"tape\"",
       "[[shop.outdoors]]\nday = 2027-04-05\nlow = \"9 C\"\nhigh = \"2 C\"\nhumidity = \"70%\"\n[[shelf]]\nproduct = "
       "\"tape\"",
       "above its highest"},
      {"[[shelf]]\nproduct = \"tape\"",
       "[[shop.outdoors]]\nday = 2027-04-05\nlow = \"1 C\"\nhigh = \"2 C\"\nhumidity = \"70%\"\n[[shop.outdoors]]\nday "
       "= 2027-04-05\nlow = \"1 C\"\nhigh = \"2 C\"\nhumidity = \"70%\"\n[[shelf]]\nproduct = \"tape\"",
       "told already"},
      {"product = \"tape\"", "product = \"tape\"\nbought = 2027-02-01\nopened = 2027-01-01", "before it was bought"},
      {"radius = \"19 cm\"", "", "'radius' is missing"},
      {"opens = \"up\"", "opens = \"up\"\nrise = \"3 cm\"", "says nothing about"},
      {"form = \"rest\"", "form = \"whole\"", "overlaps"},
      {"treatment = \"paint\"", "treatment = \"pant\"", "'pant'"},
      {"treatment = \"paint\"", "", "'treatment' is missing"},
      {"coats = 2", "coats = 99", "99"},
      {"wanted = [\"varnish\"]", "wanted = [\"glue\"]", "no product"},
      {"[160, 18, 4]", "[160, 18, 400]", "more than half"},
      {"[160, 18, 4]", "[160, -18]", "axis"},
      {"[160, 18, 4]", "[160]", "another form"},
      {"[[shelf]]\nproduct = \"tape\"", "[[shelve]]\nproduct = \"tape\"", "'shelve' is not known"},
  };
  for (const auto& [from, to, word] : mistakes) {
    const auto problems = refused(changed(from, to));
    ASSERT_FALSE(problems.empty());
    bool told = false;
    for (const Problem& problem : problems) {
      told = told || problem.what.find(word) != std::string::npos;
      EXPECT_GT(problem.line, 0) << problem.what;
      EXPECT_GT(problem.column, 0) << problem.what;
    }
    EXPECT_TRUE(told) << from << " -> " << to << ": " << to_text(problems[0]);
  }
}

TEST(Job, LateAndPastDatesAreForThePlan) {
  EXPECT_TRUE(parse_job(changed("due = 2027-05-08", "due = 1999-05-08"), "job.toml", small_catalog()));
}

TEST(Job, AllMistakesAtOnce) {
  std::string text = changed("tax_percent = 20", "tax_percent = 2000");
  text.replace(text.find("radius = \"19 cm\""), 16, "radius = \"x\"");
  text.replace(text.find("existing = \"lacquer\""), 20, "existng = \"lacquer\"");
  const auto problems = refused(text);
  ASSERT_EQ(problems.size(), 3u);
  EXPECT_LT(problems[0].line, problems[1].line);
  EXPECT_LT(problems[1].line, problems[2].line);
}

TEST(Job, BadFilesAreRefusedNotCrashedOn) {
  EXPECT_GE(refused("").size(), 3u);  // schema, shop, pieces
  refused("\xEF\xBB\xBF");
  refused("[shop]\n[shop]\n");
  refused(std::string(100000, '['));
  refused("schema = 1\nname = \"\xE9\"\n");
  refused("piece = 3\nshop = 4\nshelf = [1, 2]\nschema = \"one\"\n");
  EXPECT_FALSE(read_job("/nowhere/job.toml", small_catalog()));
  // Cut anywhere it is refused, or a shorter job that reads.
  for (std::size_t length = 0; length < kSample.size(); length += 7) {
    const auto job = parse_job(kSample.substr(0, length), "job.toml", small_catalog());
    EXPECT_TRUE(job || !job.error().empty());
  }
  std::mt19937 random(31);
  for (int round = 0; round < 1500; ++round) {
    std::string text = kSample;
    for (int i = 0; i < 3; ++i) text[random() % text.size()] = static_cast<char>(random() % 128);
    const auto job = parse_job(text, "job.toml", small_catalog());
    EXPECT_TRUE(job || !job.error().empty());
  }
}

TEST(Job, HugeFileIsRefusedUnread) {
  const std::string path = ::testing::TempDir() + "tackcloth_huge_job.toml";
  std::ofstream(path) << kSample;
  std::filesystem::resize_file(path, 100u << 20);
  const auto job = read_job(path, small_catalog());
  std::filesystem::remove(path);
  ASSERT_FALSE(job);
  EXPECT_THAT(job.error()[0].what, HasSubstr("too large"));
}

}  // namespace
}  // namespace tackcloth::job
