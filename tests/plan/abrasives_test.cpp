// Paper for what clogs it.
#include "plan/abrasives.h"

#include <gtest/gtest.h>

namespace tackcloth {
namespace {

plan::Task sanding(std::vector<std::string> zones) {
  plan::Task task;
  task.step.kind = finish::StepKind::sand;
  task.step.ground = film::Ground::sealed;
  task.zones = std::move(zones);
  return task;
}

job::PieceOrder order_of(const std::vector<std::pair<std::string, piece::Existing>>& parts) {
  job::PieceOrder order;
  for (const auto& [id, existing] : parts) {
    piece::Part part;
    part.id = id;
    part.existing = existing;
    order.piece.parts.push_back(part);
  }
  return order;
}

TEST(Clogging, TheWorstOfTheParts) {
  const auto order = order_of({{"top", piece::Existing::varnish}, {"leg", piece::Existing::wax}});
  EXPECT_EQ(plan::clogging_of(sanding({"top/all"}), order), 1.5);
  EXPECT_EQ(plan::clogging_of(sanding({"leg/all"}), order), 3);
  EXPECT_EQ(plan::clogging_of(sanding({"top/all", "leg/all"}), order), 3);
  EXPECT_EQ(plan::clogging_of(sanding({"gone/all"}), order), 1);
}

TEST(Clogging, UnknownIsTakenAsBadAsMostAndStubbornAsWorse) {
  auto order = order_of({{"top", piece::Existing::unknown}});
  const double unknown = plan::clogging_of(sanding({"top/all"}), order);
  for (const auto existing : {piece::Existing::shellac, piece::Existing::lacquer, piece::Existing::varnish,
                              piece::Existing::oil, piece::Existing::paint_oil, piece::Existing::paint_water})
    EXPECT_LE(plan::clogging_of(sanding({"top/all"}), order_of({{"top", existing}})), unknown);
  order.piece.parts[0].stubborn_finish = true;
  EXPECT_GT(plan::clogging_of(sanding({"top/all"}), order), unknown);
}

TEST(Clogging, NotOnBareWoodNorBetweenOwnCoats) {
  const auto order = order_of({{"top", piece::Existing::wax}});
  auto task = sanding({"top/all"});
  task.step.ground = film::Ground::bare_wood;
  EXPECT_EQ(plan::clogging_of(task, order), 1);
  task.step.ground = film::Ground::sealed;
  task.step.kind = finish::StepKind::scuff;
  EXPECT_EQ(plan::clogging_of(task, order), 1);
}

}  // namespace
}  // namespace tackcloth
