#include "picture/image.h"

#include <algorithm>
#include <cmath>
#include <thread>

#include "color/space.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

const std::array<float, 256>& decode_table() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> t{};
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<float>(color::decode_srgb(static_cast<double>(i) / 255));
    return t;
  }();
  return table;
}

const std::array<std::uint8_t, kEncodeSteps + 1>& encode_table() {
  static const std::array<std::uint8_t, kEncodeSteps + 1> table = [] {
    std::array<std::uint8_t, kEncodeSteps + 1> t{};
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<std::uint8_t>(std::lround(255 * color::encode_srgb(static_cast<double>(i) / kEncodeSteps)));
    return t;
  }();
  return table;
}

namespace {

struct Smaller {
  int width, height;
};

Smaller smaller(int width, int height, int longest) {
  const int side = std::max(width, height);
  if (side <= longest) return {width, height};
  const auto scaled = [&](int n) {
    return std::max(1, static_cast<int>(std::lround(static_cast<double>(n) * longest / side)));
  };
  return {scaled(width), scaled(height)};
}

// Each output pixel is the mean of the input pixels whose corner falls into it; every input pixel is used once.
// Rows `begin` to `end` of the output.
template <int channels, class Decode, class Encode>
void box(const std::uint8_t* from, int w, int h, std::uint8_t* all, int ow, int oh, int begin, int end, Decode decode,
         Encode encoded) {
  std::uint8_t* to = all + static_cast<std::size_t>(begin) * ow * channels;
  std::vector<float> sum(static_cast<std::size_t>(ow) * channels);
  std::vector<int> first(static_cast<std::size_t>(ow) + 1);
  for (int x = 0; x <= ow; ++x)
    first[static_cast<std::size_t>(x)] = static_cast<int>(static_cast<long long>(x) * w / ow);
  for (int oy = begin; oy < end; ++oy) {
    std::fill(sum.begin(), sum.end(), 0.0f);
    const int y0 = static_cast<int>(static_cast<long long>(oy) * h / oh);
    const int y1 = static_cast<int>(static_cast<long long>(oy + 1) * h / oh);
    for (int y = y0; y < y1; ++y) {
      const std::uint8_t* p = from + static_cast<std::size_t>(y) * w * channels;
      for (int ox = 0; ox < ow; ++ox) {
        float s[channels] = {};
        for (int x = first[static_cast<std::size_t>(ox)]; x < first[static_cast<std::size_t>(ox) + 1]; ++x)
          for (int c = 0; c < channels; ++c) s[c] += decode(*p++);
        for (int c = 0; c < channels; ++c) sum[static_cast<std::size_t>(ox * channels + c)] += s[c];
      }
    }
    for (int ox = 0; ox < ow; ++ox) {
      const int n = (y1 - y0) * (first[static_cast<std::size_t>(ox) + 1] - first[static_cast<std::size_t>(ox)]);
      for (int c = 0; c < channels; ++c)
        *to++ = encoded(sum[static_cast<std::size_t>(ox * channels + c)] / static_cast<float>(n));
    }
  }
}

// `work(begin, end)` over shares of the rows.
template <class Work>
void in_shares(int rows, int threads, Work work) {
  const int count = std::clamp(threads, 1, std::max(1, rows / 16));
  std::vector<std::jthread> others;
  for (int t = 1; t < count; ++t)
    others.emplace_back([&work, rows, count, t] { work(rows * t / count, rows * (t + 1) / count); });
  work(0, rows / count);
}

}  // namespace

Image shrink(const Image& image, int longest, int threads) {
  const Smaller size = smaller(image.width, image.height, longest);
  if (size.width == image.width && size.height == image.height) return image;
  Image out(size.width, size.height);
  const auto& light = decode_table();
  const auto& code = encode_table();
  in_shares(out.height, threads, [&](int begin, int end) {
    box<3>(
        image.rgb.data(), image.width, image.height, out.rgb.data(), out.width, out.height, begin, end,
        [&](std::uint8_t v) { return light[v]; }, [&](float v) { return encode(code, v); });
  });
  return out;
}

Mask shrink(const Mask& mask, int longest, int threads) {
  const Smaller size = smaller(mask.width, mask.height, longest);
  if (size.width == mask.width && size.height == mask.height) return mask;
  Mask out(size.width, size.height);
  in_shares(out.height, threads, [&](int begin, int end) {
    box<1>(
        mask.cover.data(), mask.width, mask.height, out.cover.data(), out.width, out.height, begin, end,
        [](std::uint8_t v) { return static_cast<float>(v); },
        [](float v) { return static_cast<std::uint8_t>(v + 0.5f); });
  });
  return out;
}

}  // namespace tackcloth::picture
