// [[cut]]: what parts are cut from.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "job/job.h"
#include "job/put.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using ::testing::HasSubstr;

// The sample with one more part that gets cloth, and these cuts.
std::string with_cuts(const std::string& cuts, const std::string& zone_keys = "") {
  return testing::kSample + R"(
[[piece.part]]
id = "grille"
kind = "fabric_panel"
width = "60 cm"
height = "50 cm"
count = 2
substrate = { material = "fabric" }

[[piece.part.zone]]
id = "cloth"
face = "front"
treatment = "fabric"
)" + zone_keys +
         "\n" + cuts;
}

TEST(CutKeys, AreRead) {
  const auto job = read(with_cuts(R"([[cut]]
id = "moss"
name = "Moss check"
roll_width = "140 cm"
selvedge = "1 cm"
wrap = "25 mm"
repeat_along = "64 mm"
first_along = "10 mm"
centred = false
price = "24.00"
remnant = [{ id = "chair", width = "62 cm", length = "80 cm", first_along = "5 mm" }]
)"));
  ASSERT_TRUE(job.has_value()) << to_text(job.error().front());
  ASSERT_EQ(job->cuts.size(), 1u);
  const CutFrom& cut = job->cuts[0];
  EXPECT_EQ(cut.order.cloth.roll_width, 1'400'000);
  EXPECT_EQ(cut.order.cloth.wrap, 25'000);
  EXPECT_EQ(cut.order.cloth.first_y, 10'000);
  EXPECT_FALSE(cut.order.cloth.centred);
  EXPECT_EQ(cut.order.turn, cutting::Turn::none);
  EXPECT_EQ(cut.price->minor, 2400);
  ASSERT_EQ(cut.order.remnants.size(), 1u);
  EXPECT_EQ(cut.order.remnants[0].length, 800'000);
  EXPECT_EQ(cut.order.remnants[0].first_y, 5'000);
  ASSERT_EQ(cut.order.parts.size(), 1u);  // the only cloth: the zone need not name it
  EXPECT_THAT(cut.order.parts[0].id, HasSubstr("/grille/cloth"));
  EXPECT_EQ(cut.order.parts[0].width, 600'000);
  EXPECT_EQ(cut.order.parts[0].quantity, 2);
  EXPECT_EQ(cut.pieces[0], job->pieces.back().piece.id);
}

TEST(CutKeys, SheetsTakePartsOfTheirOwnAndOutlines) {
  const auto job = read(with_cuts(R"([[cut]]
id = "leaves"
stuff = "sheet"
gap = "1 mm"
along_outlines = true
remnant = [{ id = "leaf", outline = [["0 cm", "0 cm"], ["50 cm", "0 cm"], ["50 cm", "40 cm"], ["0 cm", "40 cm"]], hole = [{ outline = [["10 cm", "10 cm"], ["14 cm", "10 cm"], ["12 cm", "14 cm"]] }] }]
part = [{ id = "patch", outline = [["0 cm", "0 cm"], ["12 cm", "0 cm"], ["12 cm", "6 cm", "2 cm"], ["0 cm", "6 cm"]], count = 2, direction = "any" }]
)"));
  ASSERT_TRUE(job.has_value()) << to_text(job.error().front());
  const CutFrom& cut = job->cuts[0];
  EXPECT_EQ(cut.order.turn, cutting::Turn::half);
  ASSERT_EQ(cut.order.parts.size(), 1u);  // a sheet is not the cloth of a zone that names none
  EXPECT_EQ(cut.order.parts[0].turn, cutting::Turn::quarter);
  EXPECT_NEAR(shape::area_mm2(cut.order.remnants[0].outline), 500 * 400 - 40 * 40 / 2, 0.01);
}

TEST(CutKeys, MistakesAreToldWithTheirLine) {
  const struct {
    const char *cuts, *zone, *says, *remedy;
  } wrong[] = {
      {"[[cut]]\nid = \"a\"\nroll_width = \"50 cm\"\nseam = \"1 cm\"\n", "", "4 3/4 in more than the roll gives",
       "seam"},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140\"\n", "", "140", ""},
      {"[[cut]]\nid = \"a\"\n", "", "nothing to cut from", "measure"},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nsheet_length = \"2 m\"\n", "", "a roll and a sheet", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nrepeat_along = \"6 cm\"\ndirection = \"any\"\n", "",
       "cannot be turned", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nfirst_along = \"6 cm\"\n", "", "no repeat", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nremnant = [{ id = \"r\", width = \"3 cm\" }]\n", "",
       "'length' is missing", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\n", "cut_from = \"b\"", "there is no [[cut]] 'b'", "add it"},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\n[[cut]]\nid = \"b\"\nroll_width = \"90 cm\"\n", "", "which cloth",
       "cut_from"},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nprice = \"-1\"\n", "", "", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\npart = [{ id = \"p\", width = \"1 cm\", height = \"1 cm\", piece "
       "= \"nobody\" }]\n",
       "", "nobody", ""},
      {"[[cut]]\nid = \"a\"\nroll_width = \"140 cm\"\nremnant = [{ id = \"r\", outline = [[0, 0], [9, 0], [9, 9]], "
       "hole = [{ outline = [[20, 20], [22, 20], [22, 22]] }] }]\n",
       "", "hole", ""},
  };
  for (const auto& one : wrong) {
    const auto job = read(with_cuts(one.cuts, one.zone));
    ASSERT_FALSE(job.has_value()) << one.cuts;
    EXPECT_THAT(job.error().front().what, HasSubstr(one.says)) << one.cuts;
    EXPECT_THAT(job.error().front().remedy, HasSubstr(one.remedy)) << one.cuts;
    EXPECT_GT(job.error().front().line, 0) << one.cuts;
  }
}

TEST(CutKeys, WhatWasCutForAPieceGoesWithIt) {
  const std::string text = with_cuts(
      "[[cut]]\nid = \"back\"\nstuff = \"sheet\"\nsheet_width = \"1 m\"\nsheet_length = \"1 m\"\n"
      "part = [{ id = \"a\", width = \"1 cm\", height = \"1 cm\", piece = \"other\" }, { id = \"b\", width = \"1 cm\", "
      "height = \"1 cm\" }]\n");
  Put gone;
  gone.id = "other";
  const auto other = laid_over(text + "\n[[piece]]\nid = \"other\"\n", {gone});
  ASSERT_TRUE(other.has_value());
  const auto job = read(*other);
  ASSERT_TRUE(job.has_value()) << to_text(job.error().front());
  ASSERT_EQ(job->cuts[0].order.parts.size(), 1u);
  EXPECT_EQ(job->cuts[0].order.parts[0].id, "b");
}

TEST(CutKeys, ArePutAsAChapter) {
  const auto put = put_named("cut");
  ASSERT_TRUE(put.has_value());
  EXPECT_EQ(name_of(*put), "cut");
  Put step = *put;
  step.body = R"([{"id": "moss", "roll_width": "90 cm"}])";
  const auto text = laid_over(with_cuts("[[cut]]\nid = \"old\"\nroll_width = \"140 cm\"\n"), {step});
  ASSERT_TRUE(text.has_value());
  const auto job = read(*text);
  ASSERT_TRUE(job.has_value());
  ASSERT_EQ(job->cuts.size(), 1u);
  EXPECT_EQ(job->cuts[0].id, "moss");
  step.body = "[]";
  const auto none = laid_over(*text, {step});
  ASSERT_TRUE(none.has_value());
  EXPECT_TRUE(read(*none)->cuts.empty());
  step.body = "{}";
  EXPECT_FALSE(laid_over(*text, {step}).has_value());
}

}  // namespace
}  // namespace tackcloth::job
