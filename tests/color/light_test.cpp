#include "color/light.h"

#include <cmath>
#include <numeric>
#include <random>

#include "color/difference.h"
#include "color/spectrum_csv.h"
#include "support.h"

namespace tackcloth::color {
namespace {

// Two tables of numbers, ours and the shared file's, over the wavelengths both have.
void expect_table(const std::string& file, std::size_t column, const Spectrum& ours, double tolerance) {
  const auto rows = shared_table(file);
  int compared = 0;
  for (const auto& row : rows)
    for (std::size_t i = 0; i < kSamples; ++i)
      if (row[0] == wavelength_nm(i)) {
        EXPECT_NEAR(ours[i], row[column], tolerance) << file << " at " << row[0] << " nm";
        ++compared;
      }
  EXPECT_GE(compared, 80);
}

// The colour-matching functions are private to the room: seen through a light that shines at one wavelength.
Xyz functions_at(std::size_t i, Observer observer, double y) {
  Light one{"line", {}};
  one.power[i] = 1;
  const Xyz w = Viewer(one, observer).white();
  return {w.x * y, w.y * y, w.z * y};
}

TEST(Light, TheObserverOf1931AsPublished) {
  const auto rows = shared_table("colour/cie1931_2deg_5nm.csv");
  if (rows.empty()) GTEST_SKIP() << "shared/data/colour is not here: the observer of 1931 was NOT checked";
  ASSERT_EQ(rows.size(), kSamples);
  double worst = 0;
  for (std::size_t i = 0; i < kSamples; ++i) {
    const Xyz f = functions_at(i, Observer::two_degrees, rows[i][2]);
    worst = std::max({worst, std::abs(f.x - rows[i][1]), std::abs(f.z - rows[i][3])});
  }
  EXPECT_LT(worst, 1e-9);
  // y itself: the photopic curve times the light of equal energy gives its weights.
  const Viewer equal(equal_energy());
  double sum = 0;
  for (const auto& row : rows) sum += row[2];
  for (std::size_t i = 0; i < kSamples; ++i) EXPECT_NEAR(equal.weight_y()[i] * sum, rows[i][2], 1e-9);
}

TEST(Light, IlluminantsAsPublished) {
  if (shared_table("colour/cie_a_5nm.csv").empty())
    GTEST_SKIP() << "shared/data/colour is not here: A, D50 and D65 were NOT checked";
  expect_table("colour/cie_a_5nm.csv", 1, light_a().power, 5.1e-4);            // given to 6 digits
  expect_table("colour/cie_d65_5nm.csv", 1, light_named("D65")->power, 5e-3);  // M1, M2 and S rounded there
  expect_table("colour/cie_d50_5nm.csv", 1, light_named("D50")->power, 5e-3);
}

// White points of CIE 15:2018, tables T.3 and T.9 (ASTM E308 table 5 gives the same to its digits). They are sums over
// other steps and ends than ours: the published tables themselves, summed every 5 nm over 360 to 830 nm, give
// z = 108.897 for D65 and 2 degrees, 0.014 above what is printed (first test below).
TEST(Light, WhitePointsAsPublished) {
  struct Case {
    const char* light;
    Observer observer;
    double x, z;
  };
  for (const Case& c :
       {Case{"A", Observer::two_degrees, 109.850, 35.585}, Case{"D50", Observer::two_degrees, 96.422, 82.521},
        Case{"D65", Observer::two_degrees, 95.047, 108.883}, Case{"A", Observer::ten_degrees, 111.144, 35.200},
        Case{"D50", Observer::ten_degrees, 96.720, 81.427}, Case{"D65", Observer::ten_degrees, 94.811, 107.304}}) {
    const Xyz w = Viewer(*light_named(c.light), c.observer).white();
    EXPECT_NEAR(100 * w.x, c.x, 0.01) << c.light;
    EXPECT_NEAR(100 * w.z, c.z, 0.021) << c.light;
    EXPECT_NEAR(w.y, 1, 1e-12);
  }
}

TEST(Light, WhitePointsOfThePublishedTables) {
  const auto observer = shared_table("colour/cie1931_2deg_5nm.csv");
  if (observer.empty()) GTEST_SKIP() << "shared/data/colour is not here: the tables' own white points were NOT checked";
  for (const char* name : {"D50", "D65"}) {
    const auto light = shared_table(std::string("colour/cie_d") + (name + 1) + "_5nm.csv");
    double x = 0, y = 0, z = 0;
    for (const auto& row : observer) {
      double power = -1;
      for (const auto& l : light)
        if (l[0] == row[0]) power = l[1];
      if (power < 0) continue;  // the published light ends at 780 nm
      x += power * row[1], y += power * row[2], z += power * row[3];
    }
    const Xyz w = Viewer(*light_named(name)).white();
    EXPECT_NEAR(100 * w.x, 100 * x / y, 1e-3) << name;
    EXPECT_NEAR(100 * w.z, 100 * z / y, 1e-3) << name;
  }
}

// CIE 15:2018, table T.8: chromaticities of the typical LEDs, to the four digits given.
TEST(Light, LedsAsPublished) {
  struct Case {
    const char* name;
    double x, y;
  };
  for (const Case& c : {Case{"LED-B1", 0.4560, 0.4078}, Case{"LED-B3", 0.3756, 0.3723}, Case{"LED-B5", 0.3118, 0.3236},
                        Case{"LED-BH1", 0.4474, 0.4066}}) {
    const Xyz w = Viewer(*light_named(c.name)).white();
    EXPECT_NEAR(w.x / (w.x + w.y + w.z), c.x, 1e-4) << c.name;
    EXPECT_NEAR(w.y / (w.x + w.y + w.z), c.y, 1e-4) << c.name;
  }
}

// Both observers were made so that equal energy is white; the sums of the 5 nm table of 1931 differ by 0.034 %.
TEST(Light, EqualEnergyIsWhite) {
  for (const Observer o : {Observer::two_degrees, Observer::ten_degrees}) {
    const Xyz w = Viewer(equal_energy(), o).white();
    EXPECT_NEAR(w.x, 1, 2e-4);
    EXPECT_NEAR(w.z, 1, 3.5e-4);
  }
}

// ASTM E308 practice by hand: the published tables, the measured patches, one plain sum every 5 nm.
TEST(Light, PatchesByThePublishedTables) {
  const auto observer = shared_table("colour/cie1931_2deg_5nm.csv");
  if (observer.empty()) GTEST_SKIP() << "shared/data/colour is not here: patches were NOT summed by hand";
  const auto samples = read_reflectance_file((shared_data() / "colour/colorchecker_24_reflectance.csv").string());
  ASSERT_TRUE(samples.has_value());
  for (const char* name : {"D50", "D65"}) {
    const auto light = shared_table(std::string("colour/cie_d") + (name + 1) + "_5nm.csv");
    const Viewer viewer(*light_named(name));
    for (const auto& sample : *samples) {
      double x = 0, y = 0, z = 0, white = 0, wx = 0, wz = 0;
      for (std::size_t i = 0; i < kSamples; ++i)
        for (const auto& l : light)
          if (l[0] == wavelength_nm(i)) {
            const auto& f = observer[i];
            const double r = sample.reflectance[i];
            x += l[1] * f[1] * r, y += l[1] * f[2] * r, z += l[1] * f[3] * r;
            white += l[1] * f[2], wx += l[1] * f[1], wz += l[1] * f[3];
          }
      const Lab by_hand = lab_from_xyz({x / white, y / white, z / white}, {wx / white, 1, wz / white});
      EXPECT_LT(difference_2000(viewer.lab(sample.reflectance), by_hand), 0.001) << sample.name;
    }
  }
}

TEST(Light, NamesAndBadNames) {
  for (const auto& name : light_names()) EXPECT_TRUE(light_named(name).has_value()) << name;
  EXPECT_TRUE(light_named("led-b3").has_value());
  EXPECT_TRUE(light_named("D5300K").has_value());
  for (const char* bad : {"", "D", "DK", "D3000K", "D99999K", "DxK", "F99", "moon"}) {
    EXPECT_FALSE(light_named(bad).has_value()) << bad;
  }
}

TEST(Spectrum, SpragueGivesBackAQuintic) {
  const auto f = [](double nm) {
    return 0.4 + 0.3 * std::pow((nm - 590) / 250, 5) - 0.2 * std::pow((nm - 590) / 250, 3);
  };
  std::vector<double> nm, v;
  for (int w = 350; w <= 840; w += 10) nm.push_back(w), v.push_back(f(w));
  const Spectrum s = *resample(nm, v);
  for (std::size_t i = 6; i + 6 < kSamples; ++i) EXPECT_NEAR(s[i], f(wavelength_nm(i)), 1e-9);
}

TEST(Spectrum, OtherStepsAgree) {
  const auto f = [](double nm) { return 0.5 + 0.4 * std::tanh((nm - 580) / 40); };
  for (const double step : {1.0, 2.5, 5.0, 10.0, 20.0}) {
    std::vector<double> nm, v;
    for (double w = 360; w <= 830.1; w += step) nm.push_back(w), v.push_back(f(w));
    const Spectrum s = *resample(nm, v);
    for (std::size_t i = 0; i < kSamples; ++i) EXPECT_NEAR(s[i], f(wavelength_nm(i)), step > 10 ? 2e-3 : 2e-4) << step;
  }
  EXPECT_FALSE(resample({400}, {1}).has_value());
  EXPECT_FALSE(resample({400, 400}, {1, 1}).has_value());
  EXPECT_FALSE(resample({400, 500}, {1, NAN}).has_value());
}

TEST(SpectrumCsv, FormsOfTheSameFile) {
  std::string plain = "wavelength,oak\n", percent = "nm;R percent\n", bare, tabs = "# shop meter\n\xEF\xBB\xBF";
  tabs = "\xEF\xBB\xBFnm\toak\r\n# a remark\r\n";
  for (int w = 380; w <= 780; w += 10) {
    const double r = 0.2 + w / 2000.0;
    plain += std::to_string(w) + "," + std::to_string(r) + "\n";
    percent += std::to_string(w) + ";" + std::to_string(100 * r) + "\n";
    bare += std::to_string(w) + "," + std::to_string(100 * r) + "%\n";
    tabs += std::to_string(w) + "\t" + std::to_string(r) + "\r\n";
  }
  const auto one = read_reflectances(plain, "a.csv");
  ASSERT_TRUE(one.has_value());
  EXPECT_EQ(one->front().name, "oak");
  for (const auto& other : {percent, bare, tabs}) {
    const auto two = read_reflectances(other, "b.csv");
    ASSERT_TRUE(two.has_value()) << to_text(two.error());
    for (std::size_t i = 0; i < kSamples; ++i)
      EXPECT_NEAR(two->front().reflectance[i], one->front().reflectance[i], 1e-6);
  }
}

TEST(SpectrumCsv, BadFilesNameTheLine) {
  const auto error = [](const std::string& text) {
    const auto read = read_reflectances(text, "x.csv");
    EXPECT_FALSE(read.has_value()) << text;
    return read ? Problem{} : read.error();
  };
  EXPECT_EQ(error("nm,r\n400,0.1\n410,abc\n").line, 3);
  EXPECT_EQ(error("nm,r\n400,0.1\n410,abc\n").column, 2);
  EXPECT_EQ(error("400,0.1\n390,0.2\n").line, 2);
  EXPECT_EQ(error("400,0.1\n410,0.2,0.3\n").line, 2);
  EXPECT_EQ(error("400,0.1\n410\n").line, 2);
  EXPECT_EQ(error("400,0.1\n700,0.3\n").line, 2);
  EXPECT_EQ(error("4000,0.1\n").line, 1);
  error("");
  error("nm,r\n");
  error("500,0.1\n510,0.2\n");
  EXPECT_FALSE(read_reflectance_file("/nowhere/x.csv").has_value());
}

// Any bytes: an answer or a refusal.
TEST(SpectrumCsv, AnyBytes) {
  std::mt19937 random(5);
  std::string good = "nm,r\n";
  for (int w = 400; w <= 700; w += 10) good += std::to_string(w) + ",0.3\n";
  for (int i = 0; i < 3000; ++i) {
    std::string text = good;
    for (int k = 0; k < 4; ++k) text[random() % text.size()] = static_cast<char>(random());
    if (i % 3 == 0) text.resize(random() % text.size());
    const auto read = read_reflectances(text, "x.csv");
    if (!read) {
      EXPECT_FALSE(read.error().what.empty());
      continue;
    }
    for (const auto& sample : *read)
      for (const double v : sample.reflectance.values) EXPECT_TRUE(v >= 0 && v < 3);
  }
}

}  // namespace
}  // namespace tackcloth::color
