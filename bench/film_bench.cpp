// One coat's readiness and curve, a year of hourly starts, and calibration on 200 entries. `--json` for JSON.
#include <benchmark/benchmark.h>

#include <cmath>
#include <vector>

#include "film/calibrate.h"
#include "run.h"
#include "shop_catalog.h"

namespace {

using namespace tackcloth;

using bench::shop_catalog;

const film::Model& shop_model() {
  static const film::Model model(shop_catalog());
  return model;
}

// A made-up year: seasonal and daily waves, 3 to 25 °C.
climate::ClimateSeries year() {
  std::vector<climate::Air> hours;
  for (int h = 0; h < 8760; ++h) {
    const double season = -std::cos(h * 2 * 3.14159265 / 8760), day = -std::cos((h % 24 - 3) * 2 * 3.14159265 / 24);
    hours.push_back({14 + 7 * season + 4 * day, 0.62 - 0.14 * day, 101325, 0.1});
  }
  return climate::ClimateSeries::hourly(Instant{}, hours);
}

const char* const kProducts[] = {"paint_acrylic", "clear_water", "varnish_wiping", "shellac_dewaxed", "lacquer_nitro"};

void readiness_constant(benchmark::State& state) {
  const catalog::Product* p = shop_catalog().product(kProducts[state.range(0)]);
  const auto air = climate::ClimateSeries::constant({19, 0.55, 101325, 0.15});
  state.SetLabel(p->id);
  for (auto _ : state) benchmark::DoNotOptimize(shop_model().readiness({p, 60}, air, Instant{}));
}
BENCHMARK(readiness_constant)->DenseRange(0, 4);

void curve(benchmark::State& state) {
  const catalog::Product* p = shop_catalog().product(kProducts[state.range(0)]);
  const auto air = climate::ClimateSeries::constant({19, 0.55, 101325, 0.15});
  state.SetLabel(p->id);
  for (auto _ : state) benchmark::DoNotOptimize(shop_model().curve({p, 60}, air, Instant{}, 72));
}
BENCHMARK(curve)->DenseRange(0, 4);

// Every hour of a year in one question.
void year_of_hourly_starts(benchmark::State& state) {
  const catalog::Product* p = shop_catalog().product(kProducts[state.range(0)]);
  const auto air = year();
  state.SetLabel(p->id);
  for (auto _ : state) {
    benchmark::DoNotOptimize(shop_model().readiness_each_hour({p, p->label.wet_um}, air, Instant{}, 8760, {},
                                                              static_cast<int>(state.range(1))));
  }
}
BENCHMARK(year_of_hourly_starts)
    ->ArgsProduct({benchmark::CreateDenseRange(0, 4, 1), {1, 2}})  // product, threads
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

// The same, asked one by one.
void year_asked_one_by_one(benchmark::State& state) {
  const catalog::Product* p = shop_catalog().product(kProducts[state.range(0)]);
  const auto air = year();
  state.SetLabel(p->id);
  for (auto _ : state) {
    for (int h = 0; h < 8760; ++h) {
      benchmark::DoNotOptimize(shop_model().readiness({p, p->label.wet_um}, air, Instant{} + std::chrono::hours{h}));
    }
  }
}
BENCHMARK(year_asked_one_by_one)->DenseRange(0, 4)->Unit(benchmark::kMillisecond);

void calibration_200_entries(benchmark::State& state) {
  std::vector<film::BenchEntry> entries;
  for (int i = 0; i < 200; ++i) {
    const catalog::Product* p = shop_catalog().product(kProducts[i % 5]);
    film::BenchEntry e;
    e.coat = {p, p->label.wet_um};
    e.air = climate::ClimateSeries::constant({17.0 + i % 7, 0.4 + 0.02 * (i % 9), 101325, 0.1});
    e.hours = p->label.scuff_h * (0.7 + 0.1 * (i % 8));
    e.seen = i % 8 < 4 ? film::Seen::soft : film::Seen::sands_to_powder;
    entries.push_back(e);
  }
  for (auto _ : state) benchmark::DoNotOptimize(film::learn(shop_model(), entries));
}
BENCHMARK(calibration_200_entries)->Unit(benchmark::kMillisecond);

void anchoring(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(film::Model(shop_catalog()));
}
BENCHMARK(anchoring)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) { return tackcloth::bench::run(argc, argv); }
