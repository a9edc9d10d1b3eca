// `tackcloth cut`, run as a shop would, and its drawings measured back.
#include <gmock/gmock.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "../sheet/drawn_page.h"
#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

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

std::string example_with(const std::string& cuts) {
  std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml");
  std::ostringstream text;
  text << in.rdbuf();
  std::string job = text.str();
  // Nothing beside the file: what it names stays where it is.
  const std::string weather = "weather_file = \"";
  if (const std::size_t at = job.find(weather); at != std::string::npos)
    job.insert(at + weather.size(), std::string(TACKCLOTH_SOURCE_DIR) + "/examples/");
  return job + "\n" + cuts;
}

TEST_F(CutCommand, AJobThatSaysWhatItIsCutFromNeedsNoOptions) {
  const std::string job = file("job.toml", example_with("[[cut]]\nid = \"moss\"\nroll_width = \"140 cm\"\n"
                                                        "wrap = \"4 cm\"\nprice = \"24.00\"\n"));
  Ran ran = run("cut " + job + " --seconds 0.2 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  json made = json::parse(ran.out);
  EXPECT_EQ(made.at("cut"), "moss");
  EXPECT_NEAR(made.at("height_mm").get<double>(), 300, 1e-6);
  EXPECT_NEAR(made.at("buy_m").get<double>(), 0.3, 1e-9);
  // Options win.
  ran = run("cut " + job + " --wrap 5cm --seconds 0.2 --json");
  EXPECT_NEAR(json::parse(ran.out).at("height_mm").get<double>(), 320, 1e-6);
  // What is bought is bought by the layout: 0.3 m at 24.00.
  ran = run("buy " + job + " --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_THAT(ran.out, HasSubstr("cut_moss"));
  EXPECT_THAT(ran.out, HasSubstr("7.20"));
  const std::string narrow = file("narrow.toml", example_with("[[cut]]\nid = \"moss\"\nroll_width = \"20 cm\"\n"));
  ran = run("cut " + narrow, true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("60 mm more than the roll gives"));
  EXPECT_THAT(ran.out, HasSubstr("narrow.toml:"));
  EXPECT_THAT(ran.out, HasSubstr("seam"));
}

TEST_F(CutCommand, SeveralCutsAreNamed) {
  const std::string job =
      file("job.toml",
           example_with("[[cut]]\nid = \"moss\"\nroll_width = \"140 cm\"\n[[cut]]\nid = \"back\"\nstuff = \"sheet\"\n"
                        "sheet_width = \"122 cm\"\nsheet_length = \"244 cm\"\nedge_to_edge = true\n"
                        "part = [{ id = \"rear\", width = \"60 cm\", height = \"40 cm\", count = 3 }]\n"));
  Ran ran = run("cut " + job + " --seconds 0.1 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_EQ(json::parse(ran.out).at("cuts").size(), 2u);
  ran = run("cut " + job + " --only back --seconds 0.1 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_EQ(json::parse(ran.out).at("buy_sheets"), 1);
  EXPECT_EQ(json::parse(ran.out).at("proven"), true);
  ran = run("cut " + job + " --out " + (dir_ / "cut.pdf").string(), true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("--only"));
  ran = run("cut " + job + " --only never", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("moss, back"));
}

TEST_F(CutCommand, RemnantsAreUsedFirst) {
  const std::string csv = file("parts.csv", "id,width,height,quantity\nseat,60 cm,50 cm,2\n");
  Ran ran = run("cut " + csv + " --width 140cm --remnant \"62cm x 105cm\" --seconds 0.1 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_EQ(json::parse(ran.out).at("buy_m"), 0.0);
  ran = run("cut " + csv + " --remnant \"62cm x 55cm\" --seconds 0.1");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_THAT(ran.out, HasSubstr("No place was found for seat"));
  ran = run("cut " + csv + " --width 140cm --remnant large", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("60cm x 85cm"));
}

TEST_F(CutCommand, OutlinesFromTablesAndDrawings) {
  // A right triangle twice fills its square: 30 x 30 cm.
  const std::string csv =
      file("corners.csv", "id,x,y,quantity\nhalf,0 cm,0 cm,2\nhalf,30 cm,0 cm,\nhalf,0 cm,30 cm,\n");
  Ran ran = run("cut " + csv + " --width 31cm --grain --seconds 0.3 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  EXPECT_LT(json::parse(ran.out).at("height_mm").get<double>(), 310);
  const std::string svg =
      file("leaf.svg",
           "<?xml version=\"1.0\"?><svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"100mm\" "
           "viewBox=\"0 0 400 200\"><path id=\"patch\" d=\"M0 0 H200 V100 A100 100 0 0 1 0 100 Z M40 40 h20 v20 h-20 "
           "z\"/></svg>");
  const std::string dxf = (dir_ / "cut.dxf").string();
  ran = run("cut " + svg + " --width 150mm --seconds 0.1 --json -o " + dxf);
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json made = json::parse(ran.out);
  EXPECT_EQ(made.at("places")[0].at("id"), "patch");
  EXPECT_NEAR(made.at("places")[0].at("width_mm").get<double>(), 100, 0.02);
  EXPECT_NEAR(made.at("places")[0].at("height_mm").get<double>(), 100, 0.02);
  EXPECT_TRUE(std::filesystem::exists(dxf));
  const std::string open =
      file("open.svg", "<svg viewBox=\"0 0 10 10\" width=\"10mm\">\n<path d=\"M0 0 L5 5 L5 0\"/></svg>");
  ran = run("cut " + open + " --width 150mm", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("open.svg:2"));
  const std::string moved =
      file("moved.svg", "<svg><g transform=\"scale(2)\"><rect width=\"3\" height=\"3\"/></g></svg>");
  ran = run("cut " + moved + " --width 150mm", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_THAT(ran.out, HasSubstr("transform"));
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
