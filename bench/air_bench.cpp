// The verdict on a room with one to eight coats, and its course over a day. `--json` for one JSON object.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstring>

#include "air/vapour.h"
#include "catalog/catalog.h"

namespace {

using namespace tackcloth;

const catalog::Catalog& shop_catalog() {
  static const catalog::Catalog catalog = [] {
    auto read = catalog::load_catalog(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
    if (!read) {
      std::fprintf(stderr, "the catalogue does not load: %s\n", to_text(read.error().front()).c_str());
      std::exit(2);
    }
    return *read;
  }();
  return catalog;
}

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

int main(int argc, char** argv) {
  char json[] = "--benchmark_format=json", json_flag[] = "--json";
  for (int i = 1; i < argc; ++i)
    if (std::strcmp(argv[i], json_flag) == 0) argv[i] = json;
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
