// How long a plan takes: the example, and growing shops of generated pieces. --json for machines.
//   plan_bench [--pieces 5,20,40] [--json]
#include <chrono>
#include <cstdio>
#include <cstring>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "plan/plan.h"

namespace {

using namespace tackcloth;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

// A shop with one person in the evenings and a helper on Saturdays, and `count` pieces that differ in size and wish.
job::Job shop_of(int count) {
  job::Job job;
  job.file = "bench";
  job.start = *parse_instant("2026-03-02T08:00");
  job.shop.hourly_rate = {3500};
  job::Room room;
  room.id = "bench";
  room.resting_places = 4 + count / 8;
  room.spray_places = 1;
  room.set_point = climate::Air{20, 0.5, 101325, 0.1};
  job.shop.rooms.push_back(room);
  for (int p = 0; p < 2; ++p) {
    job::Person person;
    person.id = p ? "helper" : "first";
    for (int day = 1; day < 7; ++day)
      if (p == 0 || day == 6) person.week[day].push_back({8 * 60, 17 * 60});
    job.shop.people.push_back(person);
  }
  const std::vector<piece::Treatment> treatments = {piece::Treatment::clear, piece::Treatment::paint,
                                                    piece::Treatment::stain_and_clear, piece::Treatment::oil};
  for (int i = 0; i < count; ++i) {
    job::PieceOrder order;
    order.room = "bench";
    order.piece.id = "p" + std::to_string(i);
    order.piece.year = 1990;
    order.due = *parse_instant("2026-03-16") + std::chrono::hours(24 * (i * 3));
    for (int k = 0; k < 2; ++k) {
      piece::Part part;
      part.id = "part" + std::to_string(k);
      part.kind = piece::PartKind::panel;
      part.width_mm = 500 + 40 * (i % 9);
      part.height_mm = 400 + 30 * (i % 7);
      part.depth_mm = 20;
      part.substrate.species = "oak_white";
      part.existing = piece::Existing::varnish;
      piece::Zone zone;
      zone.id = "z";
      zone.face = "front";
      zone.treatment = treatments[static_cast<std::size_t>((i + k) % 4)];
      part.zones.push_back(zone);
      order.piece.parts.push_back(part);
    }
    auto measured = piece::measure(order.piece);
    if (!measured) {
      std::cerr << to_text(measured.error().front()) << "\n";
      std::exit(2);
    }
    order.piece = std::move(*measured);
    job.pieces.push_back(std::move(order));
  }
  return job;
}

}  // namespace

int main(int argc, char** argv) {
  bool json = false;
  std::vector<int> sizes = {5, 10, 20, 40};
  for (int i = 1; i < argc; ++i) {
    if (!std::strcmp(argv[i], "--json")) json = true;
    if (!std::strcmp(argv[i], "--pieces") && i + 1 < argc) {
      sizes.clear();
      std::stringstream list(argv[++i]);
      for (std::string word; std::getline(list, word, ',');) sizes.push_back(std::stoi(word));
    }
  }
  const std::string root = TACKCLOTH_SOURCE_DIR;
  nlohmann::ordered_json out = nlohmann::ordered_json::array();
  auto start = Clock::now();
  auto catalog = catalog::load_catalog(root + "/catalog");
  auto rules = finish::load_rules(root + "/catalog/rules.toml");
  if (!catalog || !rules) {
    std::cerr << "the catalogue does not load\n";
    return 2;
  }
  const film::Model film(*catalog);
  const finish::Finisher finisher(*catalog, film, std::move(*rules));
  const double loading = seconds_since(start);
  const auto measure = [&](const std::string& name, const job::Job& job, plan::World world) {
    const auto begin = Clock::now();
    const auto plan = plan::make_plan(job, world, {});
    const double took = seconds_since(begin);
    if (!plan) {
      std::cerr << name << ": " << to_text(plan.error().front()) << "\n";
      return;
    }
    std::size_t steps = 0;
    for (const auto& piece : plan->pieces) steps += piece.schedule.size();
    out.push_back({{"name", name},
                   {"pieces", plan->pieces.size()},
                   {"steps", steps},
                   {"seconds", took},
                   {"gap_percent", plan->gap_percent}});
    if (!json)
      std::printf("%-12s %4zu pieces %5zu steps  %8.3f s  gap %.1f %%\n", name.c_str(), plan->pieces.size(), steps,
                  took, plan->gap_percent);
  };
  if (!json) std::printf("catalogue, film anchors and rules loaded in %.3f s\n", loading);
  plan::World world{&*catalog, &film, &finisher, std::nullopt};
  auto example = job::read_job(root + "/examples/spring.toml", *catalog);
  if (example) {
    plan::World with_weather = world;
    auto weather = climate::read_forecast_csv(root + "/examples/spring-weather.csv");
    if (weather) with_weather.weather = *weather;
    measure("example", *example, with_weather);
  }
  for (int size : sizes) measure("shop-" + std::to_string(size), shop_of(size), world);
  if (json) std::cout << nlohmann::ordered_json{{"loading_seconds", loading}, {"plans", out}}.dump(2) << "\n";
}
