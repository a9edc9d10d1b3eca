// The verdict on a room with one to eight coats, and its course over a day. `--json` for one JSON object.
#include <benchmark/benchmark.h>

#include "air/vapour.h"
#include "run.h"
#include "shop_catalog.h"

namespace {

using namespace tackcloth;

using bench::shop_catalog;

struct Coats {
  std::vector<film::Model::Curve> curves;
  std::vector<air::Source> sources;
};

Coats coats(int count) {
  const char* const ids[] = {"varnish_wiping", "aerosol_clear", "paint_acrylic", "shellac_dewaxed"};
  const film::Model model(shop_catalog());
  const auto air = climate::ClimateSeries::constant({20, 0.5, 101325, 0.1});
  Coats out;
  for (int i = 0; i < count; ++i) {
    const catalog::Product* p = shop_catalog().product(ids[i % 4]);
    out.curves.push_back(model.curve({p, p->label.wet_um}, air, Instant{}, 24));
  }
  for (int i = 0; i < count; ++i) {
    const catalog::Product* p = shop_catalog().product(ids[i % 4]);
    out.sources.push_back({&out.curves[static_cast<std::size_t>(i)], 1.5, 0.5 * i,
                           air::sprayed(*p, *catalog::usual(*p), p->label.wet_um, 1.5)});
  }
  return out;
}

void judge(benchmark::State& state) {
  const Coats all = coats(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(air::judge({}, all.sources, shop_catalog(), 24));
}
BENCHMARK(judge)->Arg(1)->Arg(3)->Arg(8)->Unit(benchmark::kMillisecond);

void course(benchmark::State& state) {
  const Coats all = coats(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(air::vapour({}, all.sources, shop_catalog(), 24));
}
BENCHMARK(course)->Arg(1)->Arg(8)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) { return tackcloth::bench::run(argc, argv); }
