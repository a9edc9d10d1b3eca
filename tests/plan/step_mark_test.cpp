// What was done at the bench stays done when the piece is changed and its steps are numbered anew.
#include "plan/step_mark.h"

#include <gtest/gtest.h>

#include "world.h"

namespace tackcloth {
namespace {

class Marked : public testing::Example {
 protected:
  plan::Plan make(const std::vector<plan::LogEntry>& log) {
    plan::Options options;
    options.log = log;
    auto made = plan::make_plan(job_, world_, options);
    EXPECT_TRUE(made) << to_text(made.error().front());
    return made ? *made : plan::Plan{};
  }
  static const plan::PlannedPiece& piece(const plan::Plan& plan, const std::string& id) {
    for (const auto& piece : plan.pieces)
      if (piece.id == id) return piece;
    ADD_FAILURE() << "no piece " << id;
    return plan.pieces.front();
  }
  // The first `count` steps of the stool, done as planned.
  std::vector<plan::LogEntry> first_done(const plan::Plan& plan, std::size_t count, bool marked) {
    const std::string json = plan::to_json(plan);
    std::vector<plan::LogEntry> log;
    const auto& schedule = piece(plan, "stool").schedule;
    for (std::size_t k = 0; k < count; ++k)
      log.push_back(
          {schedule[k].id, schedule[k].end, "done", "", marked ? plan::mark_of(json, schedule[k].id) : std::string()});
    return log;
  }
  piece::Piece& stool() {
    for (auto& order : job_.pieces)
      if (order.piece.id == "stool") return order.piece;
    ADD_FAILURE() << "no stool";
    return job_.pieces[0].piece;
  }
};

TEST_F(Marked, AStepKeepsWhatWasLoggedWhenAPartIsAdded) {
  const auto before = make({});
  const auto log = first_done(before, 5, true);
  std::multiset<std::string> done_before;
  const auto logged = make(log);
  for (const auto& step : piece(logged, "stool").schedule)
    if (step.done) done_before.insert(step.step + " " + step.product + " " + std::to_string(step.grit));
  ASSERT_EQ(done_before.size(), 5u);
  add_hardware(stool());
  const auto after = make(log);
  std::multiset<std::string> done_after;
  bool shifted = false;
  for (const auto& step : piece(after, "stool").schedule) {
    if (!step.done) continue;
    done_after.insert(step.step + " " + step.product + " " + std::to_string(step.grit));
    shifted = shifted || std::none_of(log.begin(), log.end(), [&](const auto& e) { return e.step == step.id; });
  }
  EXPECT_EQ(done_after, done_before);
  // Else the numbers themselves would have done.
  EXPECT_TRUE(shifted || piece(after, "stool").schedule.size() > piece(before, "stool").schedule.size());
}

TEST_F(Marked, AStepThatIsNoLongerThereIsToldAndStopsNothing) {
  const auto before = make({});
  std::vector<plan::LogEntry> log;
  const std::string json = plan::to_json(before);
  for (const auto& step : piece(before, "stool").schedule) {
    log.push_back({step.id, step.end, "done", "", plan::mark_of(json, step.id)});
    if (step.kind == finish::StepKind::oil) break;
  }
  ASSERT_EQ(plan::read_mark(log.back().mark)->step, "oil");
  for (auto& part : stool().parts)
    for (auto& zone : part.zones) {
      if (zone.treatment != piece::Treatment::oil) continue;
      zone.treatment = piece::Treatment::clear;
      zone.product = "varnish_wiping";
    }
  const auto after = make(log);
  const bool told = std::any_of(after.findings.begin(), after.findings.end(), [](const auto& f) {
    return f.rule == "done-before-change" && f.piece == "stool" && f.reason.find("oil") != std::string::npos;
  });
  EXPECT_TRUE(told);
  for (const auto& step : piece(after, "stool").schedule)
    if (step.kind == finish::StepKind::clear) {
      EXPECT_FALSE(step.done) << step.text;
    }
}

TEST_F(Marked, ALogOfAPieceThatIsGoneStopsNothing) {
  const auto log = first_done(make({}), 3, true);
  std::erase_if(job_.pieces, [](const auto& order) { return order.piece.id == "stool"; });
  const auto after = make(log);
  EXPECT_EQ(after.pieces.size(), 3u);
}

// Ids may begin alike: a lead test of "stool-b" says nothing of "stool".
TEST_F(Marked, ALeadTestBelongsToItsPieceAlone) {
  const auto lead_of = [](const plan::Plan& plan, const std::string& id) {
    return std::count_if(plan.findings.begin(), plan.findings.end(),
                         [&](const auto& f) { return f.rule == "lead-found" && f.piece == id; });
  };
  job::PieceOrder second = job_.pieces.back();
  ASSERT_EQ(second.piece.id, "stool");
  second.piece.id = "stool-b";
  job_.pieces.push_back(second);
  const Instant when = *parse_instant("2027-04-13T18:00");
  const auto of_b = make({{"stool-b-01", when, "lead_positive", ""}});
  EXPECT_EQ(lead_of(of_b, "stool-b"), 1);
  EXPECT_EQ(lead_of(of_b, "stool"), 0);
}

TEST_F(Marked, NothingUndoneIsPlannedBeforeTheMomentGiven) {
  plan::Options options;
  options.not_before = *parse_instant("2027-04-20T12:00");
  const auto made = plan::make_plan(job_, world_, options);
  ASSERT_TRUE(made) << to_text(made.error().front());
  for (const auto& piece : made->pieces)
    for (const auto& step : piece.schedule) EXPECT_GE(step.start, *options.not_before) << step.id;
}

// A bench that has been logged at for more than a year still plans what is left.
TEST_F(Marked, ALongLogLeavesRoomForWhatIsToCome) {
  for (auto& room : job_.shop.rooms) room.set_point = climate::Air{20, 0.5, 101325, 0.1};
  world_.weather.reset();
  for (auto& order : job_.pieces) order.due.reset();
  auto log = first_done(make({}), 3, true);
  plan::Options options;
  options.log = log;
  options.not_before = *job_.start + std::chrono::hours(24 * 500);
  const auto made = plan::make_plan(job_, world_, options);
  ASSERT_TRUE(made) << to_text(made.error().front());
  std::size_t done = 0;
  for (const auto& piece : made->pieces)
    for (const auto& step : piece.schedule) {
      done += step.done ? 1 : 0;
      if (step.done) continue;
      EXPECT_GE(step.start, *options.not_before) << step.id;
      EXPECT_LE(step.end, *options.not_before + std::chrono::hours(24 * 210)) << step.id;
    }
  EXPECT_EQ(done, 3u);
}

TEST_F(Marked, AShopWithoutPiecesHasAPlan) {
  job_.pieces.clear();
  const auto made = make({});
  EXPECT_TRUE(made.pieces.empty());
  EXPECT_TRUE(made.proven);
  const auto again = plan::from_json(plan::to_json(made));
  ASSERT_TRUE(again) << again.error().what;
  EXPECT_EQ(again->shop, job_.shop.name);
}

TEST(StepMark, OfNothingIsEmpty) {
  EXPECT_EQ(plan::mark_of("", "x"), "");
  EXPECT_EQ(plan::mark_of("{}", "x"), "");
  EXPECT_EQ(plan::mark_of(R"({"pieces":[{"id":"a","schedule":[{"id":"a-01"}]}]})", "a-02"), "");
  EXPECT_FALSE(plan::read_mark("nonsense"));
  EXPECT_FALSE(plan::read_mark("{\"piece\":3,\"step\":4}"));
}

}  // namespace
}  // namespace tackcloth
