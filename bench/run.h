// What every Google Benchmark program here shares: `--json` is short for --benchmark_format=json.
#pragma once

#include <benchmark/benchmark.h>

#include <cstring>

namespace tackcloth::bench {

inline int run(int argc, char** argv) {
  static char format[] = "--benchmark_format=json";
  for (int i = 1; i < argc; ++i)
    if (std::strcmp(argv[i], "--json") == 0) argv[i] = format;
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}

}  // namespace tackcloth::bench
