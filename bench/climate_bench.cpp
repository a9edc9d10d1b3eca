// Moist air a state at a time, a year of shop air, learning a room. `--json` for one JSON object.
#include <benchmark/benchmark.h>

#include <cmath>

#include "climate/air.h"
#include "climate/coating_hours.h"
#include "climate/real_air.h"
#include "climate/room.h"
#include "climate/wood.h"
#include "run.h"

namespace {

using namespace tackcloth;

// The grid of the check against the reference library: -15..45 °C, 1..100 %, 70..107.5 kPa.
std::vector<climate::Air> grid() {
  std::vector<climate::Air> states;
  for (int t = 0; t < 25; ++t)
    for (int h = 0; h < 25; ++h)
      for (int p = 0; p < 16; ++p)
        states.push_back({-15 + 2.5 * t, (1 + 99.0 * h / 24) / 100, 70000 + 2500.0 * p, 0.1});
  return states;
}

template <double (*Of)(const climate::Air&)>
void a_state(benchmark::State& state) {
  const auto states = grid();
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(Of(states[i]));
    if (++i == states.size()) i = 0;
  }
}
BENCHMARK(a_state<climate::dew_point_c>)->Name("dew_point");
BENCHMARK(a_state<climate::wet_bulb_c>)->Name("wet_bulb");
BENCHMARK(a_state<climate::humidity_ratio>)->Name("humidity_ratio");
BENCHMARK(a_state<climate::real_humidity_ratio>)->Name("humidity_ratio_real");

void wood_moisture(benchmark::State& state) {
  const auto states = grid();
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(climate::wood_moisture_percent(states[i].temp_c, states[i].rh));
    if (++i == states.size()) i = 0;
  }
}
BENCHMARK(wood_moisture);

// A made-up year: seasonal and daily waves, 3 to 25 °C.
climate::ClimateSeries year() {
  std::vector<climate::Air> hours;
  for (int h = 0; h < 8760; ++h) {
    const double season = -std::cos(h * 2 * 3.14159265 / 8760), day = -std::cos((h % 24 - 3) * 2 * 3.14159265 / 24);
    hours.push_back({14 + 7 * season + 4 * day, 0.62 - 0.14 * day, 101325, 0.1});
  }
  return climate::ClimateSeries::hourly(Instant{}, hours);
}

void year_of_shop_air(benchmark::State& state) {
  const auto outdoors = year();
  for (auto _ : state) benchmark::DoNotOptimize(climate::shop_air(outdoors, {}, Instant{}, 8759));
}
BENCHMARK(year_of_shop_air)->Unit(benchmark::kMillisecond);

void year_of_coating_hours(benchmark::State& state) {
  const auto air = climate::shop_air(year(), {}, Instant{}, 8759);
  for (auto _ : state) benchmark::DoNotOptimize(climate::coating_hours(air, {}, Instant{}, 8759));
}
BENCHMARK(year_of_coating_hours)->Unit(benchmark::kMillisecond);

void learn_a_room_from_20_readings(benchmark::State& state) {
  const auto outdoors = year();
  climate::RoomModel truth;
  truth.time_constant_h = 9;
  truth.gain_c = 2;
  const Instant start = Instant{} + Minutes(60 * 24 * 100);
  const auto shop = climate::shop_air(outdoors, truth, start, 100);
  std::vector<climate::Reading> readings;
  for (int i = 0; i < 20; ++i) readings.push_back({start + Minutes(60 * 4 * i), shop.at(start, 4 * i).temp_c});
  for (auto _ : state) benchmark::DoNotOptimize(climate::fit_room(outdoors, readings, {}));
}
BENCHMARK(learn_a_room_from_20_readings)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) { return tackcloth::bench::run(argc, argv); }
