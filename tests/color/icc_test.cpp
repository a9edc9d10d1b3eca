// Our conversions against Little CMS, and profiles in and out.
#include "color/icc.h"

#include <lcms2.h>

#include <cmath>
#include <random>

#include "color/css.h"
#include "color/difference.h"
#include "support.h"

namespace tackcloth::color {
namespace {

TEST(Icc, OurProfileIsSrgb) {
  for (const IccVersion version : {IccVersion::v2, IccVersion::v4}) {
    const auto bytes = srgb_profile(version);
    ASSERT_GT(bytes.size(), 128u);
    EXPECT_LT(bytes.size(), version == IccVersion::v2 ? 30000u : 1000u);
    EXPECT_EQ(static_cast<int>(bytes[8]), version == IccVersion::v2 ? 2 : 4);
    EXPECT_EQ(bytes, srgb_profile(version));
    const auto transform = IccTransform::from_profile(bytes);
    ASSERT_TRUE(transform.has_value());
    EXPECT_EQ(transform->channels(), 3);
    EXPECT_EQ(transform->description(), "sRGB");
    std::vector<std::uint8_t> in;
    std::vector<std::uint16_t> in16;
    for (int v = 0; v < 256; ++v)
      for (int c = 0; c < 3; ++c) {
        in.push_back(static_cast<std::uint8_t>(c == 1 ? 255 - v : v));
        in16.push_back(static_cast<std::uint16_t>(in.back() * 257));
      }
    std::vector<float> out(in.size()), out16(in.size());
    ASSERT_TRUE(transform->rows8(in, out));
    ASSERT_TRUE(transform->rows16(in16, out16));
    for (std::size_t i = 0; i < in.size(); ++i) {
      EXPECT_NEAR(out[i], decode_srgb(in[i] / 255.0), 2e-4);
      EXPECT_NEAR(out16[i], out[i], 1e-5);
    }
    EXPECT_FALSE(transform->rows8(std::span(in).first(7), out));
  }
}

// A wider space comes in whole: what is outside sRGB is not clipped.
TEST(Icc, AWideProfile) {
  const cmsCIExyY white{0.3127, 0.3290, 1};
  const cmsCIExyYTRIPLE wide{{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.150, 0.060, 1}};
  cmsToneCurve* gamma = cmsBuildGamma(nullptr, 2.2);
  cmsToneCurve* three[3] = {gamma, gamma, gamma};
  cmsHPROFILE profile = cmsCreateRGBProfile(&white, &wide, three);
  cmsFreeToneCurve(gamma);
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(profile, nullptr, &size);
  std::vector<std::byte> bytes(size);
  cmsSaveProfileToMem(profile, bytes.data(), &size);
  cmsCloseProfile(profile);
  const auto transform = IccTransform::from_profile(bytes);
  ASSERT_TRUE(transform.has_value());
  const LinearRgb red = transform->one(1, 0, 0);
  EXPECT_GT(red.r, 1.1);
  EXPECT_LT(red.g, -0.01);
  // Whole rows go by tables, single colours through Little CMS: they agree.
  std::mt19937 random(9);
  std::vector<std::uint16_t> in(3 * 1000);
  for (auto& v : in) v = static_cast<std::uint16_t>(random());
  std::vector<float> out(in.size());
  ASSERT_TRUE(transform->rows16(in, out));
  for (std::size_t i = 0; i < 1000; ++i) {
    const LinearRgb c = transform->one(in[3 * i] / 65535.0, in[3 * i + 1] / 65535.0, in[3 * i + 2] / 65535.0);
    EXPECT_NEAR(out[3 * i], c.r, 1e-4);
    EXPECT_NEAR(out[3 * i + 1], c.g, 1e-4);
    EXPECT_NEAR(out[3 * i + 2], c.b, 1e-4);
  }
  const LinearRgb grey = transform->one(0.5, 0.5, 0.5);
  EXPECT_NEAR(grey.r, std::pow(0.5, 2.2), 1e-3);
  EXPECT_NEAR(grey.b, grey.r, 1e-3);
}

TEST(Icc, AGreyProfile) {
  cmsToneCurve* gamma = cmsBuildGamma(nullptr, 2.2);
  cmsHPROFILE profile = cmsCreateGrayProfile(cmsD50_xyY(), gamma);
  cmsFreeToneCurve(gamma);
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(profile, nullptr, &size);
  std::vector<std::byte> bytes(size);
  cmsSaveProfileToMem(profile, bytes.data(), &size);
  cmsCloseProfile(profile);
  const auto transform = IccTransform::from_profile(bytes);
  ASSERT_TRUE(transform.has_value());
  EXPECT_EQ(transform->channels(), 1);
  const std::vector<std::uint8_t> in{0, 64, 128, 255};
  std::vector<float> out(12);
  ASSERT_TRUE(transform->rows8(in, out));
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t c = 0; c < 3; ++c) EXPECT_NEAR(out[3 * i + c], std::pow(in[i] / 255.0, 2.2), 1e-3);
  const LinearRgb one = transform->one(128 / 255.0, 0, 0);
  EXPECT_NEAR(one.r, out[6], 1e-3);
  EXPECT_NEAR(one.b, out[8], 1e-3);
}

TEST(Icc, BadProfilesAreRefused) {
  auto bytes = srgb_profile();
  EXPECT_FALSE(IccTransform::from_profile({}).has_value());
  EXPECT_FALSE(IccTransform::from_profile(std::span(bytes).first(100)).has_value());
  EXPECT_FALSE(IccTransform::from_profile(std::span(bytes).first(300)).has_value());
  EXPECT_FALSE(IccTransform::from_profile(std::vector<std::byte>(5000, std::byte{0x5a})).has_value());
  std::mt19937 random(3);
  for (int i = 0; i < 40; ++i) {  // any byte broken: an answer or a refusal, no crash
    auto broken = bytes;
    for (int k = 0; k < 8; ++k) broken[random() % broken.size()] = static_cast<std::byte>(random());
    const auto read = IccTransform::from_profile(broken);
    if (read) read->one(0.2, 0.4, 0.6);
  }
  cmsHPROFILE lab = cmsCreateLab4Profile(nullptr);
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(lab, nullptr, &size);
  std::vector<std::byte> other(size);
  cmsSaveProfileToMem(lab, other.data(), &size);
  cmsCloseProfile(lab);
  EXPECT_FALSE(IccTransform::from_profile(other).has_value());
}

// Lab, LCh, XYZ and CIEDE2000 of Little CMS, 10,000 colours.
TEST(Space, AgainstLittleCms) {
  const cmsCIEXYZ white{kD50.x, kD50.y, kD50.z};
  std::mt19937 random(11);
  std::uniform_real_distribution<double> l(0, 100), ab(-120, 120);
  Lab last{50, 0, 0};
  for (int i = 0; i < 10000; ++i) {
    const Lab lab{l(random), ab(random), ab(random)};
    const cmsCIELab theirs{lab.l, lab.a, lab.b}, before{last.l, last.a, last.b};
    cmsCIEXYZ xyz;
    cmsLab2XYZ(&white, &xyz, &theirs);
    const Xyz ours = xyz_from_lab(lab, kD50);
    // Theirs keeps the rounded constants of the older CIE texts below the bend.
    EXPECT_NEAR(ours.x, xyz.X, 2e-6);
    EXPECT_NEAR(ours.y, xyz.Y, 2e-6);
    EXPECT_NEAR(ours.z, xyz.Z, 2e-6);
    cmsCIELCh lch;
    cmsLab2LCh(&lch, &theirs);
    EXPECT_NEAR(lch_from_lab(lab).c, lch.C, 1e-9);
    EXPECT_NEAR(lch_from_lab(lab).h_deg, lch.h, 1e-9);
    EXPECT_NEAR(difference_2000(lab, last), cmsCIE2000DeltaE(&theirs, &before, 1, 1, 1), 1e-6)
        << to_css(lab) << to_css(last);
    last = lab;
  }
}

// sRGB to Lab D50 through their built-in sRGB: their profile numbers are held in 16 bits.
TEST(Space, SrgbAgainstLittleCms) {
  cmsHPROFILE in = cmsCreate_sRGBProfile(), out = cmsCreateLab4Profile(nullptr);
  cmsHTRANSFORM t = cmsCreateTransform(in, TYPE_RGB_DBL, out, TYPE_Lab_DBL, INTENT_RELATIVE_COLORIMETRIC,
                                       cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  std::mt19937 random(5);
  std::uniform_real_distribution<double> u(0, 1);
  double worst = 0;
  for (int i = 0; i < 2000; ++i) {
    const double rgb[3] = {u(random), u(random), u(random)};
    double lab[3];
    cmsDoTransform(t, rgb, lab, 1);
    const Lab ours = lab_from_linear_rgb({decode_srgb(rgb[0]), decode_srgb(rgb[1]), decode_srgb(rgb[2])});
    worst = std::max(worst, difference_2000(ours, {lab[0], lab[1], lab[2]}));
  }
  cmsDeleteTransform(t);
  cmsCloseProfile(in);
  cmsCloseProfile(out);
  EXPECT_LT(worst, 0.03);
}

// Published chromatic adaptation: Lindbloom's Bradford D65 to D50 of the sRGB primaries is what CSS Color 4 prints.
TEST(Space, BradfordAsPublished) {
  // CSS Color 4, section 18, D65_to_D50: first column is the adapted (1, 0, 0).
  const Xyz x = adapt({1, 0, 0}, kD65, kD50), y = adapt({0, 1, 0}, kD65, kD50), z = adapt({0, 0, 1}, kD65, kD50);
  EXPECT_NEAR(x.x, 1.0479297925449969, 1e-12);
  EXPECT_NEAR(x.y, 0.02962780877005599, 1e-12);
  EXPECT_NEAR(x.z, -0.009243040646204504, 1e-12);
  EXPECT_NEAR(y.x, 0.022946870601609652, 1e-12);
  EXPECT_NEAR(y.y, 0.9904344267538799, 1e-12);
  EXPECT_NEAR(z.x, -0.05019226628920524, 1e-12);
  EXPECT_NEAR(z.z, 0.7518742814281371, 1e-12);
  // Any adaptation takes white to white and back again.
  for (const Adaptation how : {Adaptation::bradford, Adaptation::cat16}) {
    const Xyz w = adapt(kD65, kD65, kD50, how);
    EXPECT_NEAR(w.x, kD50.x, 1e-12);
    EXPECT_NEAR(w.z, kD50.z, 1e-12);
    const Xyz c = adapt(adapt({0.3, 0.2, 0.1}, kD65, kD50, how), kD50, kD65, how);
    EXPECT_NEAR(c.x, 0.3, 1e-12);
    EXPECT_NEAR(c.y, 0.2, 1e-12);
  }
}

// Li et al. 2017 (Color Research and Application 42, 703-718) print the matrix of CAT16 and its inverse to 8 digits:
// the adaptation done with the printed inverse.
TEST(Space, Cat16AsPublished) {
  const double m[3][3] = {
      {0.401288, 0.650173, -0.051461}, {-0.250268, 1.204414, 0.045854}, {-0.002079, 0.048952, 0.953127}};
  const double back[3][3] = {{1.86206786, -1.01125463, 0.14918677},
                             {0.38752654, 0.62144744, -0.00897398},
                             {-0.01584150, -0.03412294, 1.04996444}};
  const Xyz c{0.2, 0.35, 0.12}, a{1.0985, 1, 0.35585};
  const double in[3] = {c.x, c.y, c.z}, from[3] = {a.x, a.y, a.z}, to[3] = {kD65.x, kD65.y, kD65.z};
  double cone[3], out[3];
  for (int i = 0; i < 3; ++i) {
    double v = 0, f = 0, t = 0;
    for (int k = 0; k < 3; ++k) v += m[i][k] * in[k], f += m[i][k] * from[k], t += m[i][k] * to[k];
    cone[i] = v * t / f;
  }
  for (int i = 0; i < 3; ++i) out[i] = back[i][0] * cone[0] + back[i][1] * cone[1] + back[i][2] * cone[2];
  const Xyz ours = adapt(c, a, kD65, Adaptation::cat16);
  EXPECT_NEAR(ours.x, out[0], 1e-7);
  EXPECT_NEAR(ours.y, out[1], 1e-7);
  EXPECT_NEAR(ours.z, out[2], 1e-7);
}

}  // namespace
}  // namespace tackcloth::color
