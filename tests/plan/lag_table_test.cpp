// Lag tables: what lies beneath a coat makes it later, never sooner.
#include "plan/lag_table.h"

#include <gtest/gtest.h>

#include "world.h"

namespace tackcloth {
namespace {

TEST(LagTable, CoatsBeneathOnlyEverLengthen) {
  const auto& real = testing::real_world();
  ASSERT_TRUE(real.problems.empty());
  const film::Calibration none;
  const plan::LagTable::World world{&real.catalog, real.film.get(), &none, Instant{}, {0}};
  const auto air = climate::ClimateSeries::constant({20, 0.5, 101325, 0.15});
  int slower = 0, tried = 0;
  for (const catalog::Product& product : real.catalog.products) {
    if (product.kind != catalog::Kind::paint && product.kind != catalog::Kind::clear) continue;
    finish::Step step;
    step.kind = finish::StepKind::paint;
    step.product = product.id;
    step.wet_um = product.label.wet_um;
    step.is_film = true;
    step.needs_before_next = film::Need::recoat_same;
    const plan::LagTable first(world, air, step, film::Lie::vertical);
    const plan::LagTable second(world, air, step, film::Lie::vertical, &first);
    const plan::LagTable third(world, air, step, film::Lie::vertical, &second);
    const auto handle = [](const plan::LagTable& table) { return table.lag(film::Need::handle)(0); };
    ASSERT_TRUE(first.always_fit()) << product.id;
    EXPECT_GE(handle(second), handle(first)) << product.id;
    EXPECT_GE(handle(third), handle(second)) << product.id;
    slower += handle(third) > handle(first);
    ++tried;
  }
  // Three coats as close as the label allows are softer than one, for most of what builds a film.
  EXPECT_GT(tried, 5);
  EXPECT_GT(slower, tried / 2);
}

}  // namespace
}  // namespace tackcloth
