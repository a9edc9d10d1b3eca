// [[piece.photo]], [[piece.look]] and changes laid over a job.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

#include "job/edit.h"
#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using ::testing::HasSubstr;

std::string all_of(const std::vector<Problem>& problems) {
  std::string text;
  for (const Problem& p : problems) text += to_text(p) + "\n";
  return text;
}

TEST(Looks, PhotoAndLookAreRead) {
  const auto job = read(testing::kSample);
  ASSERT_TRUE(job) << all_of(job.error());
  const PieceOrder& order = job->pieces[0];
  ASSERT_EQ(order.photos.size(), 1u);
  EXPECT_EQ(order.photos[0].file, "front.jpg");
  EXPECT_THAT(order.photos[0].corners, ::testing::ElementsAre(130, 170, 1490, 150, 1500, 880, 120, 900));
  ASSERT_EQ(order.looks.size(), 1u);
  ASSERT_EQ(order.looks[0].zones.size(), 1u);
  EXPECT_EQ(order.looks[0].zones[0].color, "lab(62 -12 6)");
}

TEST(Looks, MistakesAreToldWithTheirLine) {
  const std::vector<std::array<std::string, 3>> cases = {
      {"color = \"lab(62 -12 6)\"", "color = \"lab(62 -12)\"", "lab"},
      {"[[130, 170], [1490, 150], [1500, 880], [120, 900]]", "[[130, 170], [1500, 880], [1490, 150], [120, 900]]",
       "cross"},
      {"[[130, 170], [1490, 150], [1500, 880], [120, 900]]", "[[130, 170], [1490, 150], [1500, 880]]", "corners"},
      {"[[130, 170], [1490, 150], [1500, 880], [120, 900]]", "[[0, 0], [10, 0], [20, 0], [30, 0]]", "line"},
      {"color_now = \"lab(45 18 30)\"", "color_now = \"brownish\"", "measured"},
      {"color_now = \"lab(45 18 30)\"", "lies_in_it = \"ruler\"", "grey_card"},
      {"color_now = \"lab(45 18 30)\"", "card_at = [10, 20]", "no card"},
      {"color_now = \"lab(45 18 30)\"", "lies_in_it = \"grey_card\"\ncard_at = [-10, 20]", "pixels"},
  };
  for (const auto& [from, to, said] : cases) {
    const auto job = read(testing::changed(from, to));
    ASSERT_FALSE(job) << to;
    EXPECT_THAT(all_of(job.error()), HasSubstr(said)) << to;
    EXPECT_GT(job.error().front().line, 0);
  }
}

TEST(Edits, LieOverTheJobAndLeaveTheTextAlone) {
  const auto before = read(testing::kSample);
  ASSERT_TRUE(before);
  const auto& part = before->pieces[0].piece.parts[0];
  ASSERT_FALSE(part.zones.empty());
  Edit edit;
  edit.piece = before->pieces[0].piece.id;
  edit.part = part.id;
  edit.zone = part.zones[0].id;
  edit.set = {{"color", std::string("lab(50 10 10)")}, {"coats", 3.0}};
  auto text = edited(testing::kSample, {edit});
  ASSERT_TRUE(text);
  auto after = read(*text);
  ASSERT_TRUE(after) << all_of(after.error());
  EXPECT_EQ(after->pieces[0].piece.parts[0].zones[0].color, "lab(50 10 10)");
  EXPECT_EQ(after->pieces[0].piece.parts[0].zones[0].coats, 3);
  EXPECT_EQ(after->pieces.size(), before->pieces.size());
  EXPECT_EQ(after->pieces[0].looks.size(), 1u);
  // Taking the keys out again gives the zone back as it was.
  Edit back = edit;
  back.set = {{"color", std::monostate{}}, {"coats", std::monostate{}}};
  after = read(*edited(testing::kSample, {edit, back}));
  ASSERT_TRUE(after);
  EXPECT_EQ(after->pieces[0].piece.parts[0].zones[0].coats, 0);
  Edit nowhere = edit;
  nowhere.piece = "nothing";
  EXPECT_FALSE(edited(testing::kSample, {nowhere}));
  EXPECT_FALSE(edited("= = =", {edit}));
  EXPECT_EQ(*edited(testing::kSample, {}), testing::kSample);
}

}  // namespace
}  // namespace tackcloth::job
