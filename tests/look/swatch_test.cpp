// Cloth of a zone: from the job's text or from a file beside it, on a drawing of the face.
#include "look/swatch.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>

#include "../job/sample.h"
#include "color/css.h"
#include "job/changes.h"
#include "look/page.h"
#include "look/view.h"
#include "picture/photo.h"

namespace tackcloth::look {
namespace {

using ::testing::HasSubstr;

// RFC 4648, section 10.
TEST(Base64, TestVectorsOfTheStandard) {
  const std::vector<std::pair<std::string, std::string>> vectors = {{"Zg==", "f"},         {"Zm8=", "fo"},
                                                                    {"Zm9v", "foo"},       {"Zm9vYg==", "foob"},
                                                                    {"Zm9vYmE=", "fooba"}, {"Zm9vYmFy", "foobar"}};
  for (const auto& [text, bytes] : vectors) EXPECT_EQ(from_base64(text).value_or("?"), bytes);
  for (const char* bad : {"", "Zg", "Zg=", "Z===", "====", "Zm9v\n", "Zm*v", "Z=8=", "Zm8=Zm8="})
    EXPECT_FALSE(from_base64(bad)) << bad;
}

std::string base64(const std::string& bytes) {
  static const std::string digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t bits = 0;
    for (std::size_t k = 0; k < 3; ++k)
      bits = bits << 8 | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0u);
    for (std::size_t k = 0; k < 4; ++k) text += i + k > bytes.size() ? '=' : digits[bits >> (18 - 6 * k) & 63u];
  }
  return text;
}

// Left half red, right half white.
picture::Image halves() {
  picture::Image image(32, 16);
  for (int y = 0; y < 16; ++y)
    for (int x = 0; x < 32; ++x) {
      std::uint8_t* p = image.at(x, y);
      p[0] = 230;
      p[1] = p[2] = x < 16 ? 20 : 230;
    }
  return image;
}

job::Swatch swatch(const std::string& source) { return {"panel", "cloth", source, 100, 0, 0}; }

TEST(Swatch, IsReadFromTheJobItself) {
  const std::string png = "data:image/png;base64," + base64(*picture::encode_png(halves()));
  const auto image = load_swatch("job.toml", swatch(png));
  ASSERT_TRUE(image) << image.error().what;
  EXPECT_EQ(image->width, 32);
  EXPECT_EQ(image->at(20, 3)[1], 230);
  for (const std::string& bad : {std::string("data:image/png;base64,Zm9v"), std::string("data:text/html;base64,Zm9v"),
                                 std::string("data:image/png,Zm9v"), png.substr(0, png.size() / 2),
                                 std::string("../outside.png"), std::string("/etc/passwd"), std::string("none.png")}) {
    const auto refused = load_swatch("job.toml", swatch(bad));
    ASSERT_FALSE(refused) << bad.substr(0, 40);
    EXPECT_FALSE(refused.error().remedy.empty());
  }
}

std::string job_with(const std::string& zone) {
  return R"(schema = 1
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
id = "chair"
[[piece.part]]
id = "panel"
kind = "fabric_panel"
width = "40 cm"
height = "20 cm"
substrate = { material = "fabric" }
[[piece.part.zone]]
id = "cloth"
face = "front"
)" + zone;
}

TEST(Swatch, LiesOnTheFaceAtItsScale) {
  const std::string png = base64(*picture::encode_png(halves()));
  const auto job = job::parse_job(
      job_with("treatment = \"fabric\"\nswatch = \"data:image/png;base64," + png + "\"\nrepeat = \"100 mm\"\n"),
      "job.toml", testing::small_catalog());
  ASSERT_TRUE(job) << job.error().front().what;
  const auto view = drawing_of(*job, job->pieces[0], 700);
  ASSERT_TRUE(view);
  const auto colors = colors_of(job->pieces[0].piece, testing::small_catalog(), {});
  const picture::Image image = painted(*view, colors);
  // 400 mm are 600 pixels, from the 50th on; every 75 pixels red and white change places.
  const int y = image.height / 2;
  for (int k = 0; k < 8; ++k) {
    const std::uint8_t* p = image.at(50 + 75 * k + 37, y);
    if (k % 2 == 0) {
      EXPECT_GT(p[0], 2 * p[1]) << k;
    } else {
      EXPECT_NEAR(p[0], p[1], 12) << k;
    }
  }
}

TEST(Swatch, PlainClothHasItsColour) {
  const auto job = job::parse_job(job_with("treatment = \"fabric\"\ncolor = \"lab(40 10 -30)\"\n"), "job.toml",
                                  testing::small_catalog());
  ASSERT_TRUE(job);
  const auto view = drawing_of(*job, job->pieces[0], 400);
  ASSERT_TRUE(view);
  const picture::Image image = painted(*view, colors_of(job->pieces[0].piece, testing::small_catalog(), {}));
  const std::uint8_t* p = image.at(image.width / 2, image.height / 2);
  const color::Srgb8 wanted = color::srgb8_from_lab({40, 10, -30});
  EXPECT_NEAR(p[0], wanted.r, 4);
  EXPECT_NEAR(p[1], wanted.g, 4);
  EXPECT_NEAR(p[2], wanted.b, 4);
}

TEST(Swatch, MistakesAreTold) {
  const std::vector<std::pair<std::string, std::string>> cases = {
      {"treatment = \"paint\"\nswatch = \"a.png\"\nrepeat = \"6 cm\"\n", "says nothing about paint"},
      {"treatment = \"fabric\"\nswatch = \"a.png\"\n", "'repeat' is missing"},
      {"treatment = \"fabric\"\nrepeat = \"6 cm\"\n", "no swatch"},
      {"treatment = \"fabric\"\nswatch = \"a.png\"\nrepeat = \"6 km\"\n", ""},
      {"treatment = \"fabric\"\nswatch = \"" + std::string(170000, 'x') + "\"\nrepeat = \"6 cm\"\n", "no picture"},
  };
  for (const auto& [zone, said] : cases) {
    const auto job = job::parse_job(job_with(zone), "job.toml", testing::small_catalog());
    ASSERT_FALSE(job) << zone.substr(0, 80);
    EXPECT_THAT(job.error().front().what, HasSubstr(said));
    EXPECT_GT(job.error().front().line, 0);
  }
  // A swatch that cannot be read is no reason to refuse the job: the page says so.
  const auto job = job::parse_job(job_with("treatment = \"fabric\"\nswatch = \"none.png\"\nrepeat = \"6 cm\"\n"),
                                  "job.toml", testing::small_catalog());
  ASSERT_TRUE(job);
  const auto page = page_of(*job, job_with("treatment = \"fabric\"\n"), testing::small_catalog(), {}, {}, 7, 300);
  ASSERT_TRUE(page);
  EXPECT_THAT(page->json, HasSubstr("swatch of zone 'cloth'"));
  // Every flat face can be drawn on, with or without a photo.
  EXPECT_THAT(page->json,
              HasSubstr(R"("outlines":[[[400.0,0.0,0.0],[400.0,200.0,0.0],[0.0,200.0,0.0],[0.0,0.0,0.0]]])"));
}

}  // namespace
}  // namespace tackcloth::look
