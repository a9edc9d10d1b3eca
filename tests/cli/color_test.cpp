// `tackcloth color` and `tackcloth tint`: the contract for outside checks, and what bad input is told.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;

class ColorCommands : public InDirectory {
 protected:
  static json answer(const std::string& arguments) {
    const Ran ran = run(arguments);
    EXPECT_EQ(ran.code, 0) << arguments;
    return json::parse(ran.out, nullptr, false);
  }
  std::string flat(const std::string& name, double r) {
    std::string text = "wavelength,r\n";
    for (int w = 380; w <= 780; w += 5) text += std::to_string(w) + "," + std::to_string(r) + "\n";
    return file(name, text);
  }
};

TEST_F(ColorCommands, Difference) {
  // Sharma, Wu and Dalal 2005, pair 1.
  EXPECT_NEAR(answer("color difference 50,2.6772,-79.7751 50,0,-82.7485 --json").at("de00").get<double>(), 2.0425,
              5e-5);
  EXPECT_EQ(answer("color difference 'lab(50 0 0)' '#777777' --json").at("de00").is_number(), true);
  const std::string pairs =
      file("pairs.csv", "L1,a1,b1,L2,a2,b2,dE\n50,2.6772,-79.7751,50,0,-82.7485,2.0425\n50,0,0,50,0,0,0\n");
  const json many = answer("color difference --pairs " + pairs + " --json");
  ASSERT_EQ(many.at("de00").size(), 2u);
  EXPECT_NEAR(many.at("de00")[0].get<double>(), 2.0425, 5e-5);
  EXPECT_EQ(many.at("de00")[1].get<double>(), 0);
  EXPECT_EQ(run("color difference --pairs - < " + pairs).out.substr(0, 5), "2.042");
  EXPECT_NE(run("color difference 50,0,0 51,0,0").out.find("CIEDE2000"), std::string::npos);
}

TEST_F(ColorCommands, Spectrum) {
  const json grey = answer("color spectrum " + flat("grey.csv", 0.184187) + " --light D50 --json");
  ASSERT_EQ(grey.at("lab").size(), 3u);
  EXPECT_NEAR(grey.at("lab")[0].get<double>(), 50, 1e-3);
  EXPECT_NEAR(grey.at("lab")[1].get<double>(), 0, 1e-6);
  EXPECT_NEAR(grey.at("xyz")[1].get<double>(), 18.4187, 1e-4);
  EXPECT_NEAR(grey.at("xyz")[0].get<double>() / 18.4187, 0.96422, 1e-4);
  const json ten = answer("color spectrum " + flat("grey.csv", 0.5) + " --light D65 --observer 10 --json");
  EXPECT_NEAR(ten.at("xyz")[2].get<double>() / 50, 1.07304, 3e-4);
  const json same =
      answer("color metamerism " + flat("a.csv", 0.3) + " " + flat("b.csv", 0.27) + " --light D65 --second A --json");
  EXPECT_GT(same.at("de00_light").get<double>(), 1);
  EXPECT_NEAR(same.at("index_multiplicative_de00").get<double>(), 0, 1e-6);
}

TEST_F(ColorCommands, Convert) {
  const json red = answer("color convert '#ff0000' --json");
  // CSS Color 4: red is lab(54.29 80.8 69.89), oklab(0.628 0.2249 0.1258).
  EXPECT_NEAR(red.at("lab")[0].get<double>(), 54.29, 0.01);
  EXPECT_NEAR(red.at("lab")[1].get<double>(), 80.80, 0.02);
  EXPECT_NEAR(red.at("oklab")[0].get<double>(), 0.628, 1e-3);
  EXPECT_EQ(red.at("hex"), "#ff0000");
  const json two = answer("color convert '#ff0000' 'lab(50 0 0)' --json");
  EXPECT_EQ(two.at("colors").size(), 2u);
  const std::string list = file("list.txt", "# a remark\n#102030\nlab(50 1 2)\n");
  const std::string table = run("color convert --file " + list + " --csv").out;
  EXPECT_EQ(std::count(table.begin(), table.end(), '\n'), 3);
}

TEST_F(ColorCommands, HidingAndClear) {
  const json white = answer("color hiding --paint 'lab(95 0 2)' --over 'lab(35 15 20)' --json");
  EXPECT_GE(white.at("coats_needed").get<int>(), 2);
  EXPECT_EQ(white.at("coats").size(), 8u);
  const json good = answer("color hiding --paint 'lab(95 0 2)' --over 'lab(35 15 20)' --contrast 99% --json");
  EXPECT_LE(good.at("coats_needed").get<int>(), white.at("coats_needed").get<int>());
  const json oak = answer("color clear --wood oak_white --clear oil --years 10 --json");
  EXPECT_LT(oak.at("fresh")[0].get<double>(), oak.at("bare")[0].get<double>());
  EXPECT_GT(oak.at("aged")[2].get<double>(), oak.at("fresh")[2].get<double>());
}

TEST_F(ColorCommands, Tint) {
  const json recipe = answer("tint --from 'lab(62 14 30)' --to 'lab(60 10 28)' --wood oak_white --json");
  ASSERT_FALSE(recipe.at("colorants").empty());
  for (const json& part : recipe.at("colorants")) {
    EXPECT_GT(part.at("g_per_l").get<double>(), 0);
    EXPECT_GT(part.at("drops_per_l").get<double>(), 0);
  }
  EXPECT_LT(recipe.at("de00_after").get<double>(), recipe.at("de00_before").get<double>());
  EXPECT_EQ(recipe.at("lights").size(), 2u);
  EXPECT_GE(recipe.at("coats").get<int>(), 1);
  EXPECT_GT(recipe.at("sensitivity").at("per_l").get<double>(), 0);
  bool board = false;
  for (const json& step : recipe.at("steps")) board = board || step.get<std::string>().find("Test board") == 0;
  EXPECT_TRUE(board);
  const std::string text = run("tint --from 62,14,30 --to 60,10,28").out;
  EXPECT_EQ(text.find("into 1 l of"), 0u) << text;
  EXPECT_NE(text.find("Test board"), std::string::npos);
  // A product of the catalogue stands for its binder.
  EXPECT_EQ(answer("tint --from 62,14,30 --to 60,10,28 --clear varnish_wiping --json").at("clear"), "alkyd");
  // Only what is on the shelf.
  const json few = answer("tint --from 62,14,30 --to 55,12,26 --only dye_brown,dye_green --json").at("colorants");
  EXPECT_FALSE(few.empty());
  for (const json& part : few) EXPECT_EQ(part.at("id").get<std::string>().rfind("dye_", 0), 0u);
}

TEST_F(ColorCommands, BadInputIsExplained) {
  for (const char* arguments : {"color",
                                "color difference",
                                "color difference 1,2 3,4,5",
                                "color difference 'lab(1 2 x)' 1,2,3",
                                "color convert",
                                "color convert shiny",
                                "color spectrum /nowhere.csv",
                                "color hiding --paint 'lab(95 0 2)' --over red",
                                "color hiding --paint 95,0,2 --over 30,0,0 --wet 2m",
                                "color hiding --paint 'lab(50 120 0)' --over 30,0,0",
                                "color clear --wood balsa",
                                "color clear --wood oak_white --clear glue",
                                "tint",
                                "tint --to 50,0,0",
                                "tint --from 60,10,20 --to 50,0,0 --clear glue",
                                "tint --from 60,10,20 --to 50,0,0 --only paint",
                                "tint --from 60,10,20 --to 50,0,0 --light moon",
                                "tint --from 60,10,20 --to 50,0,0 --coats 99",
                                "tint --from 60,10,20 --to 50,0,0 --wood balsa",
                                "tint --from 'lab(50 200 0)' --to 50,0,0"}) {
    const Ran ran = run(arguments, true);
    EXPECT_EQ(ran.code, 2) << arguments << "\n" << ran.out;
    EXPECT_FALSE(ran.out.empty()) << arguments;
  }
  const std::string csv = file("bad.csv", "nm,r\n400,0.1\n410,oops\n");
  const Ran ran = run("color spectrum " + csv + " --json", true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_NE(ran.out.find("bad.csv:3:2"), std::string::npos) << ran.out;
  EXPECT_EQ(run("color spectrum " + file("empty.csv", ""), true).code, 2);
  EXPECT_EQ(run("color difference --pairs " + file("p.csv", "1,2,3,4,5,6\n1,2,3\n"), true).code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
