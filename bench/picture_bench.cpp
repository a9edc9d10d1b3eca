// Recolouring a 12-megapixel photo whose zone is about two thirds of it, beside a memory copy of the same bytes in the
// same run; the preview at screen size; what comes before and after. `--json` for one JSON object.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstring>

#include "picture/perspective.h"
#include "picture/photo.h"
#include "picture/pick.h"
#include "picture/recolor.h"
#include "run.h"

namespace {

using namespace tackcloth;
using namespace tackcloth::picture;

constexpr int kWidth = 4000, kHeight = 3000, kScreenWidth = 1280, kScreenHeight = 960;

// Shaded paint with a fine grain of noise; the figures do not depend on what is shown.
Image scene(int width, int height) {
  Image image(width, height);
  unsigned noise = 1;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      noise = noise * 1664525u + 1013904223u;
      const double shade = 0.6 + 0.3 * std::sin(6.0 * x / width) * std::cos(5.0 * y / height);
      const int n = static_cast<int>(noise >> 29);
      image.at(x, y)[0] = static_cast<std::uint8_t>(150 * shade + n);
      image.at(x, y)[1] = static_cast<std::uint8_t>(170 * shade + n);
      image.at(x, y)[2] = static_cast<std::uint8_t>(140 * shade + n);
    }
  return image;
}

Mask zone(int width, int height) {
  return cover_of({{{width * 0.1, height * 0.08},
                    {width * 0.95, height * 0.12},
                    {width * 0.9, height * 0.9},
                    {width * 0.12, height * 0.95}}},
                  width, height);
}

Options options(bool wood) {
  Options out;
  out.from = color::Lab{60, -6, 8};
  out.present = wood ? Present::clear_wood : Present::paint;
  return out;
}

Wanted navy() {
  Wanted out;
  out.to = {25, 3, -25};
  return out;
}

// Argument 1: bare wood, whose grain goes.
void recolor_12_megapixel(benchmark::State& state) {
  const Image image = scene(kWidth, kHeight);
  const Mask mask = zone(kWidth, kHeight);
  for (auto _ : state) benchmark::DoNotOptimize(recolor(image, mask, navy(), options(state.range(0) == 1)));
}
BENCHMARK(recolor_12_megapixel)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)->UseRealTime();

void copy_12_megapixel(benchmark::State& state) {
  const Image image = scene(kWidth, kHeight);
  Image out(kWidth, kHeight);
  for (auto _ : state) {
    std::memcpy(out.rgb.data(), image.rgb.data(), image.rgb.size());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(copy_12_megapixel)->Unit(benchmark::kMillisecond)->UseRealTime();

// The first preview: separated and painted.
void preview_first(benchmark::State& state) {
  const Image image = scene(kScreenWidth, kScreenHeight);
  const Mask mask = zone(kScreenWidth, kScreenHeight);
  for (auto _ : state) benchmark::DoNotOptimize(recolor(image, mask, navy(), options(false)));
}
BENCHMARK(preview_first)->Unit(benchmark::kMillisecond)->UseRealTime();

// Another colour on the same zone.
void preview_next(benchmark::State& state) {
  const Image image = scene(kScreenWidth, kScreenHeight);
  const Mask mask = zone(kScreenWidth, kScreenHeight);
  const auto separated = separate(image, mask, options(false));
  for (auto _ : state) benchmark::DoNotOptimize(repaint(image, mask, *separated, navy()));
}
BENCHMARK(preview_next)->Unit(benchmark::kMillisecond)->UseRealTime();

void decode_jpeg_12_megapixel(benchmark::State& state) {
  const std::string bytes = *encode_jpeg(scene(kWidth, kHeight));
  for (auto _ : state) benchmark::DoNotOptimize(load_bytes(bytes, "bench.jpg"));
}
BENCHMARK(decode_jpeg_12_megapixel)->Unit(benchmark::kMillisecond)->UseRealTime();

void encode_jpeg_12_megapixel(benchmark::State& state) {
  const Image image = scene(kWidth, kHeight);
  for (auto _ : state) benchmark::DoNotOptimize(encode_jpeg(image));
}
BENCHMARK(encode_jpeg_12_megapixel)->Unit(benchmark::kMillisecond)->UseRealTime();

void pick_12_megapixel(benchmark::State& state) {
  const Image image = scene(kWidth, kHeight);
  for (auto _ : state) benchmark::DoNotOptimize(pick_zone(image, {{{2000, 1500}, {900, 700}}, {{50, 50}}}));
}
BENCHMARK(pick_12_megapixel)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace

int main(int argc, char** argv) { return tackcloth::bench::run(argc, argv); }
