// recolor, mask and flatten as a shop types them.
#include <cmath>
#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using Recolor = InDirectory;

std::string truth(const std::string& name) {
  return std::string(TACKCLOTH_SOURCE_DIR) + "/tests/picture/truth/" + name + ".png";
}

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST_F(Recolor, WritesThePictureAndSaysWhatItDid) {
  const std::string out = (dir_ / "out.png").string(), before = bytes_of(truth("cabinet2_white"));
  const Ran ran = run("recolor " + truth("cabinet2_white") + " --mask " + truth("mask_cabinet") +
                      " --to 'lab(50 -30 -8)' --from 'lab(89 1 4)' --json -o " + out);
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json said = json::parse(ran.out);
  EXPECT_EQ(said["width"], 320);
  EXPECT_EQ(said["height"], 240);
  EXPECT_EQ(said["from_guessed"], false);
  EXPECT_GT(std::filesystem::file_size(out), 1000u);
  EXPECT_EQ(bytes_of(truth("cabinet2_white")), before);
}

TEST_F(Recolor, WoodClothAndJpeg) {
  EXPECT_EQ(run("recolor " + truth("chair2_dark_wood") + " --mask " + truth("mask_chair") +
                " --to '#d8d0b8' --from-clear -o " + (dir_ / "a.jpg").string())
                .code,
            0);
  const std::string cloth = "recolor " + truth("drawers2_white") + " --mask " + truth("mask_drawers") +
                            " --to-fabric " + truth("swatch_pale_wood") + " --repeat-mm 120";
  const Ran guessed = run(cloth + " --json -o " + (dir_ / "b.png").string());
  ASSERT_EQ(guessed.code, 0);
  EXPECT_NE(json::parse(guessed.out)["warnings"].dump().find("scale is a guess"), std::string::npos);
  const Ran true_scale =
      run(cloth + " --corners '30,32;246,44;240,238;42,203' --size 840x720mm --json -o " + (dir_ / "c.png").string());
  ASSERT_EQ(true_scale.code, 0);
  EXPECT_EQ(json::parse(true_scale.out)["warnings"].dump().find("scale is a guess"), std::string::npos);
}

TEST_F(Recolor, RefusesInWords) {
  const std::string photo = truth("cabinet2_white"), mask = truth("mask_cabinet"), out = (dir_ / "x.png").string();
  const auto refused = [&](const std::string& arguments, const char* word) {
    const Ran ran = run(arguments, true);
    EXPECT_EQ(ran.code, 2) << arguments;
    EXPECT_NE(ran.out.find(word), std::string::npos) << ran.out;
    EXPECT_FALSE(std::filesystem::exists(out)) << arguments;
  };
  const std::string to = " --to 'lab(50 0 0)' -o " + out;
  refused("recolor " + file("empty.jpg", "") + " --mask " + mask + to, "empty");
  refused("recolor " + file("text.jpg", "not a photo") + " --mask " + mask + to, "not a picture");
  refused("recolor no_such.jpg --mask " + mask + to, "no such file");
  refused("recolor " + photo + " --mask " + truth("swatch_pale_wood") + to, "64 x 64");
  refused("recolor " + photo + " --mask " + mask + " -o " + out, "nothing says");
  refused("recolor " + photo + " --mask " + mask + " --to 'lab(oh)' -o " + out, "--to");
  refused("recolor " + photo + " --mask " + mask + " --to-fabric " + photo + " -o " + out, "--repeat-mm");
  refused("recolor " + photo + " --mask " + mask + " --to-fabric " + photo +
              " --repeat-mm 50 --corners '0,0;100,100;100,0;0,100' --size 600x400mm -o " + out,
          "cross");
  refused("mask " + photo + " --tap 5000,20 -o " + out, "outside");
  refused("mask " + photo + " --tap here -o " + out, "not a place");
  refused("flatten " + photo + " --corners '0,0;10,0' --size 600x400mm -o " + out, "2 corners");
  refused("flatten " + photo + " --corners '0,0;100,0;100,100;0,100' --size big -o " + out, "size of a face");
}

TEST_F(Recolor, NeverOverwritesAPhoto) {
  const std::string photo = (dir_ / "photo.png").string();
  std::filesystem::copy_file(truth("cabinet2_white"), photo);
  const std::string before = bytes_of(photo);
  EXPECT_EQ(run("recolor " + photo + " --mask " + truth("mask_cabinet") + " --to 'lab(50 0 0)' -o " + photo).code, 2);
  EXPECT_EQ(run("mask " + photo + " --tap 100,100 -o " + photo).code, 2);
  EXPECT_EQ(bytes_of(photo), before);
}

TEST_F(Recolor, MaskAndFlatten) {
  const std::string mask = (dir_ / "mask.png").string(), flat = (dir_ / "flat.png").string();
  const Ran tapped =
      run("mask " + truth("cabinet2_teal") + " --tap 135,140 --tap 75,120 --not 30,100 --json -o " + mask);
  ASSERT_EQ(tapped.code, 0);
  EXPECT_NEAR(json::parse(tapped.out)["share"].get<double>(), 0.41, 0.1);
  EXPECT_EQ(run("recolor " + truth("cabinet2_teal") + " --mask " + mask + " --to 'lab(80 0 10)' -o " +
                (dir_ / "painted.png").string())
                .code,
            0);
  const Ran ran = run("flatten " + truth("cabinet2_teal") +
                      " --corners '86,53;267,46;262,200;98,222' --size 24x23in --json -o " + flat);
  ASSERT_EQ(ran.code, 0);
  const json said = json::parse(ran.out);
  EXPECT_NEAR(said["width"].get<double>() / said["height"].get<double>(), 24.0 / 23, 0.02);
  EXPECT_EQ(said["homography"].size(), 9u);
}

TEST_F(Recolor, BalanceByAGreyCard) {
  const std::string out = (dir_ / "grey.png").string(), photo = truth("cabinet1_cream");
  // The wall behind the cabinet taken for the card: it becomes neutral there, so nearly all of it does.
  const Ran ran = run("balance " + photo + " --grey 30,40 --reflectance 0.6 --json -o " + out);
  ASSERT_EQ(ran.code, 0);
  const json said = json::parse(ran.out);
  EXPECT_LT(said["matrix"][0].get<double>(), said["matrix"][8].get<double>());  // a warm lamp
  EXPECT_FALSE(said["warnings"].empty());
  EXPECT_EQ(said["target"]["given"], true);
  EXPECT_EQ(run("balance " + photo + " --grey 3000,40 -o " + out).code, 2);
  const Ran table = run("balance " + photo + " --chart " + file("chart.csv", "L,a,b\n50,0,0\n") +
                            " --corners '0,0;90,0;90,90;0,90' -o " + out,
                        true);
  EXPECT_EQ(table.code, 2);
  EXPECT_NE(table.out.find("1 colours"), std::string::npos) << table.out;
}

// The card that leans beside the example's cabinet; where it is, is in examples/photos/cabinet.pov.
TEST_F(Recolor, BalanceFindsTheCardByItself) {
  const std::string out = (dir_ / "found.png").string();
  const std::string photo = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/photos/cabinet-front.jpg";
  const Ran ran = run("balance " + photo + " --json -o " + out);
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json said = json::parse(ran.out);
  EXPECT_EQ(said["target"]["kind"], "grey card");
  EXPECT_EQ(said["target"]["given"], false);
  EXPECT_GT(said["target"]["confidence"].get<double>(), 0.4);
  ASSERT_EQ(said["target"]["corners"].size(), 4u);
  EXPECT_NEAR(said["target"]["corners"][0][0].get<double>(), 1284, 8);
  EXPECT_TRUE(said["target"].contains("fit_error"));
  // Tapped in its middle it gives the same.
  const Ran tapped = run("balance " + photo + " --grey 1358,690 --json -o " + out);
  ASSERT_EQ(tapped.code, 0);
  const json by_tap = json::parse(tapped.out);
  EXPECT_EQ(by_tap["target"]["given"], true);
  for (const std::size_t k : {0, 4, 8})
    EXPECT_NEAR(by_tap["matrix"][k].get<double>(), said["matrix"][k].get<double>(), 0.02);
}

TEST_F(Recolor, BalanceSaysWhatItDoesNotFind) {
  const std::string out = (dir_ / "none.png").string();
  const Ran ran = run("balance " + truth("cabinet1_cream") + " -o " + out, true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_NE(ran.out.find("no chart"), std::string::npos) << ran.out;
  EXPECT_NE(ran.out.find("--corners"), std::string::npos) << ran.out;
  EXPECT_FALSE(std::filesystem::exists(out));
  EXPECT_EQ(run("balance " + truth("cabinet1_cream") + " --grey 3,3 --corners '0,0;9,0;9,9;0,9' -o " + out).code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
