// The 24 measured patches through ArgyllCMS `spec2cie`, an independent reading of the same tables.
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "color/difference.h"
#include "color/light.h"
#include "color/spectrum_csv.h"
#include "support.h"

namespace tackcloth::color {
namespace {

namespace fs = std::filesystem;

class Argyll : public ::testing::Test {
 protected:
  void SetUp() override {
    if (std::system("command -v spec2cie > /dev/null 2>&1") != 0)
      GTEST_SKIP() << "ArgyllCMS (package argyll) is not here: spectra were NOT checked against it";
    rows_ = shared_table("colour/colorchecker_24_reflectance.csv");
    if (rows_.empty()) GTEST_SKIP() << "shared/data/colour is not here: the 24 patches were NOT checked";
    dir_ = fs::temp_directory_path() /
           ("tackcloth-argyll-" + std::to_string(::testing::UnitTest::GetInstance()->random_seed()) + "-" +
            std::to_string(reinterpret_cast<std::uintptr_t>(this)));
    fs::create_directories(dir_);
  }
  void TearDown() override {
    if (!dir_.empty()) fs::remove_all(dir_);
  }
  // X, Y, Z of every patch, Y = 100 for the white.
  std::vector<Xyz> theirs(const std::string& light, const std::string& observer) {
    std::ofstream file(dir_ / "in.ti3");
    file
        << "CTI3\n\nDESCRIPTOR \"patches\"\nORIGINATOR \"tackcloth\"\nDEVICE_CLASS \"OUTPUT\"\nCOLOR_REP \"iRGB_XYZ\"\n"
        << "SPECTRAL_BANDS \"" << rows_.size() << "\"\nSPECTRAL_START_NM \"" << rows_.front()[0]
        << "\"\nSPECTRAL_END_NM \"" << rows_.back()[0] << "\"\n\nNUMBER_OF_FIELDS " << 4 + rows_.size()
        << "\nBEGIN_DATA_FORMAT\nSAMPLE_ID RGB_R RGB_G RGB_B";
    for (const auto& row : rows_) file << " SPEC_" << static_cast<int>(row[0]);
    file << "\nEND_DATA_FORMAT\n\nNUMBER_OF_SETS 25\nBEGIN_DATA\n";
    for (std::size_t p = 1; p <= 24; ++p) {
      file << p << " 0 0 0";
      for (const auto& row : rows_) file << " " << 100 * row[p];
      file << "\n";
    }
    file << "25 0 0 0";  // their own white: the perfect diffuser
    for (std::size_t i = 0; i < rows_.size(); ++i) file << " 100";
    file << "\n";
    file << "END_DATA\n";
    file.close();
    const std::string command = "spec2cie -n -i " + light + " -o " + observer + " '" + (dir_ / "in.ti3").string() +
                                "' '" + (dir_ / "out.ti3").string() + "' > /dev/null 2>&1";
    std::vector<Xyz> out;
    if (std::system(command.c_str()) != 0) return out;
    std::ifstream read(dir_ / "out.ti3");
    std::string line, word;
    std::vector<std::string> names;
    bool data = false;
    while (std::getline(read, line)) {
      std::istringstream in(line);
      if (line.rfind("SAMPLE_ID", 0) == 0)
        while (in >> word) names.push_back(word);
      if (line == "END_DATA") break;
      if (data) {
        Xyz xyz;
        for (const auto& name : names) {
          in >> word;
          if (name == "XYZ_X") xyz.x = std::stod(word) / 100;
          if (name == "XYZ_Y") xyz.y = std::stod(word) / 100;
          if (name == "XYZ_Z") xyz.z = std::stod(word) / 100;
        }
        out.push_back(xyz);
      }
      data = data || line.rfind("BEGIN_DATA", 0) == 0 ? line == "BEGIN_DATA" || data : false;
    }
    return out;
  }
  std::vector<std::vector<double>> rows_;
  fs::path dir_;
};

TEST_F(Argyll, TwentyFourPatches) {
  const auto samples = read_reflectance_file((shared_data() / "colour/colorchecker_24_reflectance.csv").string());
  ASSERT_TRUE(samples.has_value());
  struct Case {
    const char *light, *observer;
    Observer ours;
  };
  for (const Case& c : {Case{"D50", "1931_2", Observer::two_degrees}, Case{"D65", "1931_2", Observer::two_degrees},
                        Case{"A", "1931_2", Observer::two_degrees}, Case{"D50", "1964_10", Observer::ten_degrees},
                        Case{"D65", "1964_10", Observer::ten_degrees}}) {
    const auto other = theirs(c.light, c.observer);
    ASSERT_EQ(other.size(), 25u) << c.light;
    const Viewer viewer(*light_named(c.light), c.ours);
    double worst = 0;
    for (std::size_t i = 0; i < 24; ++i)
      worst =
          std::max(worst, difference_2000(viewer.lab((*samples)[i].reflectance), lab_from_xyz(other[i], other.back())));
    std::printf("%s %s: %.4f dE00 at worst over 24 patches\n", c.light, c.observer, worst);
    EXPECT_LT(worst, 0.05) << c.light << " " << c.observer;
  }
}

}  // namespace
}  // namespace tackcloth::color
