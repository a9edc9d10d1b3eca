#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "../plan/world.h"
#include "color/difference.h"
#include "look/look.h"

namespace tackcloth::look {
namespace {

class Boards : public testing::Example {
 protected:
  void SetUp() override {
    testing::Example::SetUp();
    options_.schedules = 40;
    auto palette = color::load_palette(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
    ASSERT_TRUE(palette);
    palette_ = std::move(*palette);
    for (job::PieceOrder& order : job_.pieces) {
      if (order.piece.id != "cabinet") continue;
      order.looks = {{"teal", "Teal sunrise", {{"case", "sunrise", "", "", "lab(45 -20 -12)", 0, 0}}},
                     {"bare", "All clear", {{"case", "sunrise", "clear", "varnish_wiping", "", 0, 0}}}};
    }
  }
  plan::Options options_;
  color::Palette palette_;
};

TEST_F(Boards, CostDaysAndHoursAreThoseOfThePlanWithThatLook) {
  const auto made = boards(job_, "cabinet", world_, palette_, options_, 2);
  ASSERT_TRUE(made) << to_text(made.error().front());
  ASSERT_EQ(made->size(), 3u);
  for (const Board& board : *made) {
    const auto job = with_look(job_, "cabinet", board.id);
    ASSERT_TRUE(job);
    plan::Options o = options_;
    o.odds = false;
    const auto plan = plan::make_plan(*job, world_, o);
    ASSERT_TRUE(plan);
    for (const auto& piece : plan->pieces) {
      if (piece.id != "cabinet") continue;
      EXPECT_EQ(board.price.total, piece.price.total);
      EXPECT_EQ(board.finish, piece.finish);
      EXPECT_DOUBLE_EQ(board.bench_hours, piece.bench_hours);
    }
  }
  // Another colour of the same paint costs and takes the same; no paint at all does not.
  EXPECT_EQ((*made)[0].price.total, (*made)[1].price.total);
  EXPECT_NE((*made)[0].price.total, (*made)[2].price.total);
  const auto one = boards(job_, "cabinet", world_, palette_, options_, 1);
  ASSERT_TRUE(one);
  EXPECT_EQ(to_json(*one, "cabinet", "EUR"), to_json(*made, "cabinet", "EUR")) << "threads must not show";
}

TEST_F(Boards, NumbersBetweenZonesThatMeet) {
  for (job::PieceOrder& order : job_.pieces) {
    if (order.piece.id != "cabinet") continue;
    for (auto& zone : order.piece.parts[0].zones) {
      if (zone.id == "sunrise") zone.color = "lab(60 0 20)";
      if (zone.id == "front-rest") zone.color = "lab(40 20 0)";
    }
    const auto colors = colors_of(order.piece, *world_.catalog, palette_);
    const auto pairs = pairs_of(order.piece, colors);
    ASSERT_EQ(pairs.size(), 1u);
    EXPECT_DOUBLE_EQ(pairs[0].de00, color::difference_2000({60, 0, 20}, {40, 20, 0}));
    EXPECT_DOUBLE_EQ(pairs[0].lightness, -20);
    EXPECT_NEAR(pairs[0].hue_deg, -90, 1e-9);  // from yellow (90) to red (0)
  }
}

// Wood under a clear is darker and richer than bare, and is told apart from a colour that was given.
TEST_F(Boards, WoodUnderItsClearHasAColour) {
  for (const job::PieceOrder& order : job_.pieces) {
    if (order.piece.id != "table") continue;
    const auto colors = colors_of(order.piece, *world_.catalog, palette_);
    ASSERT_FALSE(colors.empty());
    const color::Lab bare = palette_.wood("oak_white")->bare;
    for (const ZoneColor& c : colors) {
      ASSERT_TRUE(c.lab) << c.zone;
      EXPECT_EQ(c.from, "wood");
      EXPECT_LT(c.lab->l, bare.l);
      EXPECT_GT(color::lch_from_lab(*c.lab).c, color::lch_from_lab(bare).c);
    }
  }
}

// On a photo bare wood is deepened by as much; a finished surface already looks cleared.
TEST_F(Boards, OnlyBareWoodIsDeepened) {
  for (const job::PieceOrder& order : job_.pieces) {
    if (order.piece.id != "table") continue;
    piece::Piece bare = order.piece;
    for (piece::Part& part : bare.parts) part.existing = piece::Existing::bare;
    for (const ZoneColor& c : colors_of(order.piece, *world_.catalog, palette_)) EXPECT_FALSE(c.gain) << c.zone;
    const color::LinearRgb from = color::linear_rgb_from_lab(palette_.wood("oak_white")->bare);
    for (const ZoneColor& c : colors_of(bare, *world_.catalog, palette_)) {
      ASSERT_TRUE(c.gain && c.lab) << c.zone;
      const color::LinearRgb to = color::linear_rgb_from_lab(*c.lab);
      EXPECT_NEAR((*c.gain)[0] * from.r, to.r, 1e-9);
      EXPECT_NEAR((*c.gain)[1] * from.g, to.g, 1e-9);
      EXPECT_NEAR((*c.gain)[2] * from.b, to.b, 1e-9);
      for (const double gain : *c.gain) EXPECT_LT(gain, 1);
    }
  }
}

TEST_F(Boards, UnknownNamesAreToldApart) {
  EXPECT_FALSE(boards(job_, "nothing", world_, palette_, options_, 1));
  EXPECT_FALSE(with_look(job_, "cabinet", "nothing"));
  EXPECT_TRUE(with_look(job_, "cabinet", ""));
}

}  // namespace
}  // namespace tackcloth::look
