#include "color/icc.h"

#include <lcms2.h>

#include <array>
#include <cmath>
#include <optional>

namespace tackcloth::color {

namespace {

constexpr std::size_t kMaxBytes = 16u << 20;

struct CloseProfile {
  void operator()(void* p) const { cmsCloseProfile(p); }
};
using Profile = std::unique_ptr<void, CloseProfile>;

Profile rgb_profile(cmsToneCurve* curve) {
  const cmsCIExyY white{0.3127, 0.3290, 1};
  const cmsCIExyYTRIPLE primaries{{0.64, 0.33, 1}, {0.30, 0.60, 1}, {0.15, 0.06, 1}};
  cmsToneCurve* const three[3] = {curve, curve, curve};
  return Profile(cmsCreateRGBProfile(&white, &primaries, three));
}

Profile linear_srgb() {
  cmsToneCurve* line = cmsBuildGamma(nullptr, 1.0);
  Profile out = rgb_profile(line);
  cmsFreeToneCurve(line);
  return out;
}

}  // namespace

// A profile of curves and a matrix, or of one grey curve, as tables: far faster a pixel than the general way.
struct Shaper {
  std::array<std::vector<float>, 3> table8, table16;
  std::array<float, 9> matrix{};  // from the profile's linear light to that of sRGB
  bool grey = false;

  template <class Int>
  void rows(std::span<const Int> in, std::span<float> out) const {
    const auto& table = sizeof(Int) == 1 ? table8 : table16;
    const std::size_t pixels = out.size() / 3;
    if (grey) {
      for (std::size_t i = 0; i < pixels; ++i) out[3 * i] = out[3 * i + 1] = out[3 * i + 2] = table[0][in[i]];
      return;
    }
    for (std::size_t i = 0; i < pixels; ++i) {
      const float r = table[0][in[3 * i]], g = table[1][in[3 * i + 1]], b = table[2][in[3 * i + 2]];
      for (std::size_t c = 0; c < 3; ++c)
        out[3 * i + c] = matrix[3 * c] * r + matrix[3 * c + 1] * g + matrix[3 * c + 2] * b;
    }
  }
};

namespace {

constexpr std::array<cmsTagSignature, 3> kColorants = {cmsSigRedColorantTag, cmsSigGreenColorantTag,
                                                       cmsSigBlueColorantTag};

// Columns are the primaries in XYZ of the profile connection space.
std::optional<std::array<double, 9>> primaries_of(cmsHPROFILE profile) {
  std::array<double, 9> m{};
  for (std::size_t c = 0; c < 3; ++c) {
    const auto* xyz = static_cast<const cmsCIEXYZ*>(cmsReadTag(profile, kColorants[c]));
    if (!xyz) return std::nullopt;
    m[c] = xyz->X, m[3 + c] = xyz->Y, m[6 + c] = xyz->Z;
  }
  return m;
}

std::array<double, 9> inverse(const std::array<double, 9>& m) {
  const double a = m[4] * m[8] - m[5] * m[7], b = m[5] * m[6] - m[3] * m[8], c = m[3] * m[7] - m[4] * m[6];
  const double d = m[0] * a + m[1] * b + m[2] * c;
  return {a / d, (m[2] * m[7] - m[1] * m[8]) / d, (m[1] * m[5] - m[2] * m[4]) / d,
          b / d, (m[0] * m[8] - m[2] * m[6]) / d, (m[2] * m[3] - m[0] * m[5]) / d,
          c / d, (m[1] * m[6] - m[0] * m[7]) / d, (m[0] * m[4] - m[1] * m[3]) / d};
}

bool tabulate(cmsHPROFILE profile, cmsTagSignature tag, std::vector<float>& table8, std::vector<float>& table16) {
  const auto* curve = static_cast<const cmsToneCurve*>(cmsReadTag(profile, tag));
  if (!curve) return false;
  table8.resize(256);
  table16.resize(65536);
  for (std::size_t i = 0; i < 65536; ++i) table16[i] = cmsEvalToneCurveFloat(curve, static_cast<float>(i) / 65535.0F);
  for (std::size_t i = 0; i < 256; ++i) table8[i] = table16[257 * i];
  for (const float v : table16)
    if (!std::isfinite(v)) return false;
  return true;
}

std::optional<Shaper> shaper_of(cmsHPROFILE in, cmsHPROFILE linear, bool grey) {
  Shaper out;
  out.grey = grey;
  if (cmsIsTag(in, cmsSigAToB0Tag) || cmsIsTag(in, cmsSigAToB1Tag) || cmsIsTag(in, cmsSigDToB1Tag)) return std::nullopt;
  if (grey) {
    // White of the grey scale is the white of the picture.
    if (cmsGetPCS(in) != cmsSigXYZData || !tabulate(in, cmsSigGrayTRCTag, out.table8[0], out.table16[0]))
      return std::nullopt;
    return out;
  }
  if (!cmsIsMatrixShaper(in)) return std::nullopt;
  constexpr std::array<cmsTagSignature, 3> kCurves = {cmsSigRedTRCTag, cmsSigGreenTRCTag, cmsSigBlueTRCTag};
  for (std::size_t c = 0; c < 3; ++c)
    if (!tabulate(in, kCurves[c], out.table8[c], out.table16[c])) return std::nullopt;
  const auto from = primaries_of(in), to = primaries_of(linear);
  if (!from || !to) return std::nullopt;
  const auto back = inverse(*to);
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t c = 0; c < 3; ++c) {
      double v = 0;
      for (std::size_t k = 0; k < 3; ++k) v += back[3 * r + k] * (*from)[3 * k + c];
      out.matrix[3 * r + c] = static_cast<float>(v);
    }
  return out;
}

tl::unexpected<Problem> refuse(std::string what) {
  return tl::unexpected<Problem>({"", 0, 0, "the colour profile " + std::move(what), "an RGB or grey ICC profile",
                                  "save the picture as sRGB, or without a profile"});
}

}  // namespace

struct IccTransform::Impl {
  cmsHTRANSFORM of8 = nullptr, of16 = nullptr, of_double = nullptr;
  std::optional<Shaper> shaper;
  int channels = 3;
  std::string description;
  ~Impl() {
    for (cmsHTRANSFORM t : {of8, of16, of_double})
      if (t) cmsDeleteTransform(t);
  }
};

IccTransform::IccTransform(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
IccTransform::~IccTransform() = default;
IccTransform::IccTransform(IccTransform&&) noexcept = default;
IccTransform& IccTransform::operator=(IccTransform&&) noexcept = default;

Result<IccTransform> IccTransform::from_profile(std::span<const std::byte> bytes) {
  if (bytes.size() > kMaxBytes) return refuse("is larger than 16 MiB");
  if (bytes.size() < 128) return refuse("is cut short");
  cmsSetLogErrorHandler(nullptr);
  const Profile in(cmsOpenProfileFromMem(bytes.data(), static_cast<cmsUInt32Number>(bytes.size())));
  if (!in) return refuse("can't be read");
  const auto space = cmsGetColorSpace(in.get());
  if (space == cmsSigCmykData) return refuse("is for printing inks (CMYK)");
  const bool grey = space == cmsSigGrayData;
  if (space != cmsSigRgbData && !grey) return refuse("is neither for RGB nor for grey");
  const Profile out = linear_srgb();
  auto impl = std::make_unique<Impl>();
  impl->channels = grey ? 1 : 3;
  // No cache: it is what would keep threads apart. Floats out, so that nothing is clipped.
  constexpr cmsUInt32Number kFlags = cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE;
  const auto make = [&](cmsUInt32Number rgb, cmsUInt32Number one) {
    return cmsCreateTransform(in.get(), grey ? one : rgb, out.get(), TYPE_RGB_FLT, INTENT_RELATIVE_COLORIMETRIC,
                              kFlags);
  };
  impl->of8 = make(TYPE_RGB_8, TYPE_GRAY_8);
  impl->of16 = make(TYPE_RGB_16, TYPE_GRAY_16);
  impl->of_double = make(TYPE_RGB_FLT, TYPE_GRAY_FLT);
  if (!impl->of8 || !impl->of16 || !impl->of_double) return refuse("lacks what is needed to use it");
  impl->shaper = shaper_of(in.get(), out.get(), grey);
  char text[128] = "";
  cmsGetProfileInfoASCII(in.get(), cmsInfoDescription, "en", "US", text, sizeof text);
  for (char& c : text)
    if (c != 0 && (c < 32 || c == 127)) c = '?';
  impl->description = text;
  return IccTransform(std::move(impl));
}

int IccTransform::channels() const { return impl_->channels; }
const std::string& IccTransform::description() const { return impl_->description; }

bool IccTransform::rows8(std::span<const std::uint8_t> in, std::span<float> out) const {
  const std::size_t pixels = out.size() / 3;
  if (out.size() % 3 != 0 || in.size() != pixels * static_cast<std::size_t>(impl_->channels)) return false;
  if (impl_->shaper) {
    impl_->shaper->rows(in, out);
    return true;
  }
  cmsDoTransform(impl_->of8, in.data(), out.data(), static_cast<cmsUInt32Number>(pixels));
  return true;
}

bool IccTransform::rows16(std::span<const std::uint16_t> in, std::span<float> out) const {
  const std::size_t pixels = out.size() / 3;
  if (out.size() % 3 != 0 || in.size() != pixels * static_cast<std::size_t>(impl_->channels)) return false;
  if (impl_->shaper) {
    impl_->shaper->rows(in, out);
    return true;
  }
  cmsDoTransform(impl_->of16, in.data(), out.data(), static_cast<cmsUInt32Number>(pixels));
  return true;
}

LinearRgb IccTransform::one(double r, double g, double b) const {
  const std::array<float, 3> in{static_cast<float>(r), static_cast<float>(g), static_cast<float>(b)};
  std::array<float, 3> out{};
  cmsDoTransform(impl_->of_double, in.data(), out.data(), 1);
  return {out[0], out[1], out[2]};
}

std::vector<std::byte> srgb_profile(IccVersion version) {
  // IEC 61966-2-1: Y = ((X + 0.055) / 1.055)^2.4 from 0.04045, X / 12.92 below; lcms parametric type 4.
  const double p[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
  cmsToneCurve* curve = cmsBuildParametricToneCurve(nullptr, 4, p);
  const Profile profile = rgb_profile(curve);
  cmsFreeToneCurve(curve);
  if (!profile) return {};
  cmsSetProfileVersion(profile.get(), version == IccVersion::v2 ? 2.1 : 4.4);
  cmsSetHeaderRenderingIntent(profile.get(), INTENT_PERCEPTUAL);
  cmsMLU* words = cmsMLUalloc(nullptr, 1);
  cmsMLUsetASCII(words, "en", "US", "sRGB");
  cmsWriteTag(profile.get(), cmsSigProfileDescriptionTag, words);
  cmsMLUsetASCII(words, "en", "US", "No copyright, use freely");
  cmsWriteTag(profile.get(), cmsSigCopyrightTag, words);
  cmsMLUfree(words);
  cmsUInt32Number size = 0;
  if (!cmsSaveProfileToMem(profile.get(), nullptr, &size)) return {};
  std::vector<std::byte> bytes(size);
  if (!cmsSaveProfileToMem(profile.get(), bytes.data(), &size)) return {};
  // The header's date and time (ICC.1:2010, 7.2.8): a fixed one, so that the same picture gives the same bytes.
  static constexpr unsigned char kDate[12] = {0x07, 0xEA, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0};
  for (std::size_t i = 0; i < 12; ++i) bytes[24 + i] = static_cast<std::byte>(kDate[i]);
  return bytes;
}

}  // namespace tackcloth::color
