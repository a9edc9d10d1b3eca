// The real catalogue, film model and rules, loaded once for the tests of this room.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "plan/plan.h"

namespace tackcloth::testing {

struct RealWorld {
  catalog::Catalog catalog;
  std::unique_ptr<film::Model> film;
  std::unique_ptr<finish::Finisher> finisher;
  std::vector<Problem> problems;

  RealWorld() {
    const std::string root = TACKCLOTH_SOURCE_DIR;
    auto loaded = catalog::load_catalog(root + "/catalog");
    auto rules = finish::load_rules(root + "/catalog/rules.toml");
    if (!loaded) problems = loaded.error();
    if (!rules) problems.insert(problems.end(), rules.error().begin(), rules.error().end());
    if (!problems.empty()) return;
    catalog = std::move(*loaded);
    film = std::make_unique<film::Model>(catalog);
    finisher = std::make_unique<finish::Finisher>(catalog, *film, std::move(*rules));
  }
  plan::World world() const { return {&catalog, film.get(), finisher.get(), std::nullopt}; }
};

inline const RealWorld& real_world() {
  static const RealWorld world;
  return world;
}

// The example and its weather, with the real world.
class Example : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_TRUE(real_world().problems.empty());
    const std::string examples = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/";
    auto read = job::read_job(examples + "spring.toml", real_world().catalog);
    ASSERT_TRUE(read) << to_text(read.error().front());
    job_ = *read;
    world_ = real_world().world();
    auto weather = climate::read_forecast_csv(examples + "spring-weather.csv");
    ASSERT_TRUE(weather) << to_text(weather.error());
    world_.weather = *weather;
  }
  // A new part at the front of a piece, which shifts the numbers of its steps.
  static void add_hardware(piece::Piece& to) {
    piece::Piece copy = to;
    piece::Part part;
    part.id = "a-foot-plate";
    part.kind = piece::PartKind::hardware;
    part.width_mm = part.height_mm = 60;
    part.depth_mm = 4;
    part.substrate.material = piece::Material::metal;
    part.existing = piece::Existing::bare_metal;
    piece::Zone zone;
    zone.id = "plate";
    zone.face = "all";
    zone.treatment = piece::Treatment::metal_spray;
    part.zones.push_back(zone);
    copy.parts.insert(copy.parts.begin(), part);
    auto measured = piece::measure(copy);
    ASSERT_TRUE(measured) << to_text(measured.error().front());
    to = *measured;
  }

  job::Job job_;
  plan::World world_;
};

}  // namespace tackcloth::testing
