// `tackcloth cut`, run as a shop would, and its drawings measured back.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "../sheet/drawn_page.h"
#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;
using ::testing::Not;

class CutCommand : public InDirectory {};

TEST_F(CutCommand, LaysPanelsAndSaysWhatToBuy) {
  const std::string csv = file("parts.csv", "id,width,height,quantity\nseat,60 cm,50 cm,4\n");
  const Ran ran = run("cut " + csv + " --width 140cm --wrap 3cm --seam 1cm --seconds 0.2 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json made = json::parse(ran.out);
  EXPECT_NEAR(made.at("height_mm").get<double>(), 1160, 1e-9);
  EXPECT_EQ(made.at("proven"), true);
  EXPECT_NEAR(made.at("buy_m").get<double>(), 1.2, 1e-9);
  EXPECT_NEAR(made.at("buy_yd").get<double>(), 1.375, 1e-9);
  EXPECT_EQ(made.at("places").size(), 4u);
  const Ran text = run("cut " + csv + " --width 140cm --wrap 3cm --seam 1cm --seconds 0.2");
  EXPECT_EQ(text.out.rfind("Buy 1.2 m (1 3/8 yd).", 0), 0u) << text.out;
  EXPECT_THAT(text.out, HasSubstr("proven"));
  EXPECT_THAT(text.out, HasSubstr("from the cut end"));
}

TEST_F(CutCommand, TakesTheClothPanelsOfAJob) {
  const std::string job = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";
  const Ran ran = run("cut " + job + " --width 140cm --wrap 4cm --seconds 0.2 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json made = json::parse(ran.out);
  ASSERT_EQ(made.at("places").size(), 1u);
  EXPECT_THAT(made.at("places")[0].at("id").get<std::string>(), HasSubstr("speaker-cloth/cloth"));
  EXPECT_NEAR(made.at("places")[0].at("width_mm").get<double>(), 260 + 80, 1e-6);
  EXPECT_NEAR(made.at("places")[0].at("height_mm").get<double>(), 220 + 80, 1e-6);
}

TEST_F(CutCommand, DrawsToScale) {
  const std::string csv = file("parts.csv", "id,width,height,quantity\nback,70 cm,55 cm,2\narm,20 cm,61 cm,3\n");
  const std::string pdf = (dir_ / "cut.pdf").string(), svg = (dir_ / "cut.svg").string(),
                    dxf = (dir_ / "cut.dxf").string(), places = (dir_ / "cut.csv").string();
  json made;
  for (const std::string& out : {svg, dxf, places, pdf}) {
    const Ran ran = run("cut " + csv + " --width 140cm --selvedge 1cm --seconds 0.2 --json -o " + out);
    ASSERT_EQ(ran.code, 0) << ran.out;
    ASSERT_TRUE(std::filesystem::exists(out));
    made = json::parse(ran.out);
  }
  const sheet::DrawnPage page(pdf, 1);
  const auto roll = page.strokes(0.8);
  ASSERT_EQ(roll.size(), 1u);
  double left = 1e9, right = -1e9;
  for (const sheet::At& p : roll[0].lines[0]) {
    left = std::min(left, p.x);
    right = std::max(right, p.x);
  }
  const std::string text = sheet::output_of_command("pdftotext -layout " + pdf + " -");
  const auto said = sheet::matches(text, "Scale 1 : ([0-9.]+)");
  ASSERT_FALSE(said.empty());
  EXPECT_NEAR(right - left, 1400 / std::stod(said[0][1]), 0.1);
  EXPECT_EQ(page.strokes(1.1).size(), 5u);
  EXPECT_THAT(text, HasSubstr("Buy"));
}

TEST_F(CutCommand, BadInputIsExplained) {
  const std::string wide = file("wide.csv", "id,width,height\nsofa back,200 cm,60 cm\n");
  Ran ran = run("cut " + wide + " --width 140cm --seam 1cm", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("620 mm more than the roll gives"));
  EXPECT_THAT(ran.out, HasSubstr("seam"));
  const std::string bare = file("bare.csv", "id,width,height\na,200,60 cm\n");
  ran = run("cut " + bare + " --width 140cm", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("bare.csv:2"));
  const std::string good = file("good.csv", "id,width,height\na,20 cm,6 cm\n");
  ran = run("cut " + good + " --width 140cm -o " + (dir_ / "cut.docx").string(), true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr(".pdf, .svg, .dxf or .csv"));
  ran = run("cut " + good + " --width 140", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("--width"));
  ran = run("cut " + (dir_ / "none.csv").string() + " --width 140cm", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("cannot be read"));
  ran = run("cut " + good + " --width 140cm --repeat-y 64cm --seconds 0.1");
  EXPECT_EQ(ran.code, 0);
  EXPECT_THAT(ran.out, HasSubstr("larger than panel 'a'"));
}

}  // namespace
}  // namespace tackcloth::cli
