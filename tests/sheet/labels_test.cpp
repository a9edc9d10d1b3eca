// The codes of the labels, read back from the rendered page by another library (ZBar) than the one that made them.
#include "sheet/labels.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>
#include <zbar.h>

#include <filesystem>

#include "drawn_page.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

class Labels : public ::testing::Test {
 protected:
  void SetUp() override {
    if (output_of_command("command -v pdftoppm").empty()) GTEST_SKIP() << "poppler-utils is not installed";
    std::string pattern = (fs::temp_directory_path() / "tackcloth-labels-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = pattern;
    path_ = directory_ / "labels.pdf";
  }
  void TearDown() override {
    if (!directory_.empty()) fs::remove_all(directory_);
  }
  int pages() const {
    const std::string info = output_of_command("pdfinfo " + path_);
    const auto at = info.find("Pages:");
    return at == std::string::npos ? 0 : std::stoi(info.substr(at + 6));
  }
  // Label by label, as a telephone sees them: three columns of 24 mm under a head of 14 mm, 12 mm from the edges. At
  // 200 dots an inch, what a plain office printer has at the least. A label without a code gives "".
  std::vector<std::string> codes(int page) const {
    const std::string number = std::to_string(page);
    const std::string pgm = output_of_command("pdftoppm -gray -r 200 -f " + number + " -l " + number + " " + path_);
    int width = 0, height = 0, used = 0;
    if (std::sscanf(pgm.c_str(), "P5 %d %d 255%n", &width, &height, &used) != 2) return {};
    const std::size_t from = static_cast<std::size_t>(used) + 1;
    EXPECT_EQ(pgm.size() - from, static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    const auto dots = [](double mm) { return static_cast<int>(mm / 25.4 * 200); };
    const int across = (width - 2 * dots(12)) / 3, down = dots(24);
    std::vector<std::string> found;
    for (int top = dots(12 + 14); top + down <= height - dots(12) + 2; top += down)
      for (int column = 0; column < 3; ++column) {
        std::string label;
        for (int row = 0; row < down; ++row)
          label += pgm.substr(from + static_cast<std::size_t>((top + row) * width + dots(12) + column * across),
                              static_cast<std::size_t>(across));
        found.push_back(code_in(label, across, down));
      }
    return found;
  }
  static std::string code_in(const std::string& grey, int width, int height) {
    zbar::zbar_image_scanner_t* scanner = zbar::zbar_image_scanner_create();
    zbar::zbar_image_scanner_set_config(scanner, zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
    zbar::zbar_image_t* image = zbar::zbar_image_create();
    zbar::zbar_image_set_format(image, zbar_fourcc('Y', '8', '0', '0'));
    zbar::zbar_image_set_size(image, static_cast<unsigned>(width), static_cast<unsigned>(height));
    zbar::zbar_image_set_data(image, grey.data(), grey.size(), nullptr);
    zbar::zbar_scan_image(scanner, image);
    std::string code;
    if (const zbar::zbar_symbol_t* symbol = zbar::zbar_image_first_symbol(image))
      code.assign(zbar::zbar_symbol_get_data(symbol), zbar::zbar_symbol_get_data_length(symbol));
    zbar::zbar_image_destroy(image);
    zbar::zbar_image_scanner_destroy(scanner);
    return code;
  }
  fs::path directory_;
  std::string path_;
};

LabelSheet many(int count) {
  LabelSheet sheet{"Radio cabinet", "Bench", {}};
  for (int k = 1; k <= count; ++k) {
    const std::string name = "A" + std::to_string(k);
    sheet.labels.push_back({name, "", "Back plate: 6 screw 3 x 12, slotted, and some more words than there is room for",
                            "http://127.0.0.1:8420/#apart=radio-cabinet/" + name});
  }
  return sheet;
}

TEST_F(Labels, EveryCodeReadsBackOnBothPapers) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const LabelSheet sheet = many(40);
    const auto pdf = labels_pdf(sheet, paper, Instant{});
    ASSERT_TRUE(pdf) << pdf.error().what;
    ASSERT_TRUE(write_file(path_, *pdf));
    ASSERT_EQ(pages(), 2);
    std::vector<std::string> links, read;
    for (const Label& label : sheet.labels) links.push_back(label.link);
    for (int page = 1; page <= 2; ++page)
      for (const std::string& code : codes(page))
        if (page == 1 || !code.empty()) read.push_back(code);  // the last page is not full
    EXPECT_EQ(read, links);
  }
}

TEST_F(Labels, SayInWordsWhatTheyAreFor) {
  LabelSheet sheet = many(1);
  sheet.labels.push_back({"Ak1", "1: loudspeaker, left lug", "Chassis", "http://127.0.0.1:8420/#apart=radio/Ak1"});
  const auto pdf = labels_pdf(sheet, Paper::a4, Instant{});
  ASSERT_TRUE(pdf);
  ASSERT_TRUE(write_file(path_, *pdf));
  const std::string words = output_of_command("pdftotext -layout " + path_ + " -");
  for (const char* said : {"Radio cabinet", "A1", "Back plate", "Ak1", "loudspeaker", "Chassis"})
    EXPECT_THAT(words, HasSubstr(said));
}

TEST(LabelSheets, NoneTooManyAndTooLong) {
  EXPECT_FALSE(labels_pdf(many(0), Paper::a4, Instant{}));
  EXPECT_FALSE(labels_pdf(many(401), Paper::a4, Instant{}));
  LabelSheet sheet = many(1);
  sheet.labels[0].link = std::string(5000, 'x');  // more than any code holds (ISO/IEC 18004: 2331 bytes at level M)
  EXPECT_FALSE(labels_pdf(sheet, Paper::a4, Instant{}));
}

}  // namespace
}  // namespace tackcloth::sheet
