// CIEDE2000 a pair beside the formula as printed, conversions, reflectances, tint recipes. `--json` for one JSON
// object.
#include <benchmark/benchmark.h>

#include <random>

#include "../tests/color/plain_difference.h"
#include "color/css.h"
#include "color/difference.h"
#include "color/estimate.h"
#include "color/hiding.h"
#include "color/tint.h"
#include "run.h"

namespace {

using namespace tackcloth;
using namespace tackcloth::color;

const std::vector<Lab>& colors() {
  static const std::vector<Lab> all = [] {
    std::mt19937 random(1);
    std::uniform_real_distribution<double> l(0, 100), ab(-90, 90);
    std::vector<Lab> out(4097);
    for (Lab& c : out) c = {l(random), ab(random), ab(random)};
    return out;
  }();
  return all;
}

// One pair an iteration: the time is that of a pair.
template <double (*difference)(const Lab&, const Lab&)>
void pairs(benchmark::State& state) {
  const auto& c = colors();
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(difference(c[i], c[i + 1]));
    i = (i + 1) & 4095;
  }
}
BENCHMARK(pairs<difference_2000>)->Name("ciede2000");
BENCHMARK(pairs<plain_difference_2000>)->Name("ciede2000_as_printed");

void lab_to_srgb(benchmark::State& state) {
  const auto& c = colors();
  for (auto _ : state)
    for (const Lab& lab : c) benchmark::DoNotOptimize(linear_rgb_from_lab(lab));
  state.SetItemsProcessed(state.iterations() * static_cast<int64_t>(c.size()));
}
BENCHMARK(lab_to_srgb);

void estimate(benchmark::State& state) {
  const Viewer viewer = standard_viewer();
  for (auto _ : state) benchmark::DoNotOptimize(estimate_reflectance({62, 14, 30}, viewer));
}
BENCHMARK(estimate)->Unit(benchmark::kMillisecond);

const Palette& palette() {
  static const Palette loaded = *load_palette(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
  return loaded;
}

// From two measured colours to a recipe, both estimates included; the argument is the number of colourants at most.
void recipe(benchmark::State& state) {
  const Viewer d50 = standard_viewer(), first(*light_named("D65")), second(*light_named("A"));
  TintQuestion q;
  q.clear = palette().clear("acrylic_urethane");
  q.most_parts = static_cast<int>(state.range(0));
  for (const Colorant& c : palette().colorants)
    if (c.id != "white_titanium") q.colorants.push_back(&c);
  const Lab from[] = {{62, 14, 30}, {70, 8, 32}, {58, 6, 18}, {75, 3, 20}},
            to[] = {{60, 10, 28}, {66, 8, 26}, {50, 10, 22}, {62, 12, 34}};
  std::size_t i = 0;
  for (auto _ : state) {
    q.from = *estimate_reflectance(from[i % 4], d50);
    q.to = *estimate_reflectance(to[i % 4], d50, &q.from);
    benchmark::DoNotOptimize(tint(q, first, second));
    ++i;
  }
}
BENCHMARK(recipe)->Arg(2)->Arg(3)->Arg(4)->Unit(benchmark::kMillisecond);

void paint_and_hiding(benchmark::State& state) {
  const Viewer d50 = standard_viewer();
  const Spectrum ground = *estimate_reflectance({35, 15, 20}, d50);
  for (auto _ : state) benchmark::DoNotOptimize(hiding(ground, *paint_of({70, 5, 40}, palette()), 100, d50));
}
BENCHMARK(paint_and_hiding)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) { return tackcloth::bench::run(argc, argv); }
