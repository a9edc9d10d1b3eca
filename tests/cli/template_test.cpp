// `tackcloth template` and `tackcloth arc`, run as a shop would.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>
#include <numbers>

#include "../sheet/drawn_page.h"
#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

const std::string kJob = R"(schema = 1
[shop]
name = "Bench"
currency = "EUR"
hourly_rate = "32.50"
[[shop.room]]
id = "bench"
volume_m3 = 46
set_point = { temperature = "20 C", humidity = "50%" }
[[shop.person]]
id = "ann"
hours = { sat = ["8:30-12:30"] }
[[piece]]
id = "table"
[[piece.part]]
id = "top"
kind = "panel"
count = 2
width = "90 cm"
height = "60 cm"
depth = "2 cm"
substrate = { material = "solid_wood", species = "oak_white" }
[[piece.part.zone]]
id = "line"
face = "front"
form = "border"
from_edge = "20 mm"
width = "8 mm"
treatment = "paint"
[[piece.part.zone]]
id = "sun"
face = "front"
form = "half_circle"
center_x = "45 cm"
base_y = "10 cm"
radius = "6 cm"
treatment = "paint"
[[piece.part.zone]]
id = "rest"
face = "all"
form = "rest"
treatment = "clear"
)";

class TemplateCommand : public InDirectory {
 protected:
  void SetUp() override {
    InDirectory::SetUp();
    job_ = file("job.toml", kJob);
    pdf_ = (dir_ / "out.pdf").string();
  }
  std::string job_, pdf_;
};

TEST_F(TemplateCommand, WritesOnePageAndSaysItsSizes) {
  const Ran ran = run("template " + job_ + " --zone table/top/sun -o " + pdf_ + " --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json made = json::parse(ran.out);
  EXPECT_EQ(made.at("pages"), 1);
  EXPECT_EQ(made.at("paper"), "a4");
  EXPECT_EQ(made.at("count"), 2);
  EXPECT_NEAR(made.at("area_m2").get<double>(), std::numbers::pi * 0.06 * 0.06 / 2, 1e-9);
  EXPECT_NEAR(made.at("tape_mm").get<double>(), (std::numbers::pi + 2) * 60, 1e-3);
  EXPECT_NEAR(made.at("width_mm").get<double>(), 120, 1e-9);
  EXPECT_NEAR(made.at("height_mm").get<double>(), 60, 1e-9);
  if (sheet::output_of_command("command -v pdftocairo").empty()) GTEST_SKIP() << "poppler-utils is not installed";
  const sheet::DrawnPage page(pdf_, 1);
  const auto outline = page.strokes(1.2);
  ASSERT_EQ(outline.size(), 1u);
  EXPECT_NEAR(sheet::apart(outline[0].lines[0][0], outline[0].lines[0][1]), 120, 0.1);
  EXPECT_NEAR(sheet::apart(page.strokes(0.9).at(0).lines[0].front(), page.strokes(0.9).at(0).lines[0].back()), 100,
              0.1);
}

TEST_F(TemplateCommand, ManySheetsOnEitherPaper) {
  for (const std::string paper : {"a4", "letter"}) {
    const Ran ran = run("template " + job_ + " --zone table/top/line -o " + pdf_ + " --paper " + paper);
    ASSERT_EQ(ran.code, 0) << ran.out;
    EXPECT_THAT(ran.out, HasSubstr("sheets in"));
    EXPECT_THAT(ran.out, HasSubstr("Print at 100 %"));
  }
  EXPECT_THAT(sheet::output_of_command("pdfinfo " + pdf_), HasSubstr("612"));  // Letter is 612 points one way
}

TEST_F(TemplateCommand, SaysWhatIsWrong) {
  const auto told = [&](const std::string& rest) {
    const Ran ran = run("template " + rest, true);
    EXPECT_EQ(ran.code, 2) << rest;
    return ran.out;
  };
  EXPECT_THAT(told(job_ + " --zone table/top/sum -o " + pdf_), HasSubstr("did you mean 'sun'"));
  EXPECT_THAT(told(job_ + " --zone table/top/rest -o " + pdf_), HasSubstr("several faces"));
  EXPECT_THAT(told(job_ + " --zone sun -o " + pdf_), HasSubstr("PIECE/PART/ZONE"));
  EXPECT_THAT(told(job_ + " --zone table/top/sun -o " + (dir_ / "none" / "x.pdf").string()), HasSubstr("cannot"));
  EXPECT_THAT(told((dir_ / "none.toml").string() + " --zone table/top/sun"), HasSubstr("none.toml"));
  told(job_);
  told(job_ + " --zone table/top/sun --paper b5");
  EXPECT_FALSE(std::filesystem::exists(pdf_));
}

TEST(ArcCommand, ByRiseByRadiusAndThroughPointsAgree) {
  for (const char* how :
       {"--chord 60cm --rise 9cm", "--chord 60cm --radius 54.5cm", "--through 10cm,5cm 40cm,14cm 70cm,5cm"}) {
    const Ran ran = run(std::string("arc --json ") + how);
    ASSERT_EQ(ran.code, 0) << how;
    const json arc = json::parse(ran.out);
    EXPECT_NEAR(arc.at("radius_mm").get<double>(), 545, 1e-6) << how;  // 600² / (8 · 90) + 90 / 2
    EXPECT_NEAR(arc.at("rise_mm").get<double>(), 90, 1e-6);
    EXPECT_NEAR(arc.at("set_back_mm").get<double>(), 455, 1e-6);
    EXPECT_NEAR(arc.at("length_mm").get<double>(), 545 * 2 * std::asin(300.0 / 545), 1e-6);
    EXPECT_NEAR(arc.at("heights_mm").at(4).get<double>(), 90, 1e-6);
  }
  EXPECT_THAT(run("arc --chord 60cm --rise 9cm").out, HasSubstr("Set the trammel to 545.0 mm"));
  EXPECT_THAT(run("arc --chord '24 in' --rise '8 in'").out, HasSubstr("Set the trammel to 13 in"));
  EXPECT_THAT(run("arc --chord 24cm --radius 13cm --greater").out, HasSubstr("rise         180.0 mm"));
  EXPECT_THAT(run("arc --chord 60cm --rise 30cm").out, HasSubstr("in the middle of the chord"));
}

TEST(ArcCommand, SaysWhatIsWrong) {
  for (const char* how : {"", "--chord 60cm", "--chord 60cm --rise 9", "--chord 60cm --rise 9cm --radius 50cm",
                          "--chord 60cm --radius 20cm", "--chord x --rise 9cm", "--through 1cm,1cm 2cm,2cm 3cm,3cm",
                          "--through 1cm,1cm 2cm,2cm", "--through 1cm 2cm 3cm", "--through 1cm,1cm 2cm,x 3cm,5cm",
                          "--chord 60cm --rise 0cm"}) {
    const Ran ran = run(std::string("arc ") + how, true);
    EXPECT_EQ(ran.code, 2) << how;
    EXPECT_GT(ran.out.size(), 20u) << how;
  }
}

}  // namespace
}  // namespace tackcloth::cli
