#include "air/vapour.h"

#include <gtest/gtest.h>

#include <numeric>

#include "air/course.h"
#include "by_hand.h"

namespace tackcloth::air {
namespace {

bool has(const Verdict& verdict, const std::string& rule) {
  for (const auto& finding : verdict.findings)
    if (finding.rule == rule) return true;
  return false;
}

TEST(Course, StepAndDecayInOneRoomInPpm) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 2}, {10, 10});
  const Room room = mixed(40, 0.5);
  const Course course = vapour(room, {{&c, 3, 0}}, catalog, 6);
  ASSERT_EQ(course.components, std::vector<std::string>{"thin"});
  for (std::size_t i = 0; i < course.hours.size(); ++i) {
    const double t = course.hours[i], q = 20, e = 30, a = 0.5;
    const double rise = e / q * (1 - std::exp(-a * std::min(t, 2.0)));
    const double ppm = 244.5 * rise * std::exp(-a * std::max(0.0, t - 2));
    // The zones differ by what crosses between them: E/exchange = 3e-5 g/m³ here.
    EXPECT_NEAR(course.ppm_room[0][i], ppm, 0.01) << t;
    EXPECT_NEAR(course.ppm_bench[0][i], ppm, 0.01) << t;
  }
}

TEST(Course, WaterIsNoVapourToFear) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 2}, {100, 100}, 0, "water");
  EXPECT_TRUE(vapour({}, {{&c, 3, 0}}, catalog, 6).components.empty());
  const Verdict verdict = judge({}, {{&c, 3, 0}}, catalog, 6);
  EXPECT_EQ(verdict.mixture_share, 0);
  EXPECT_EQ(verdict.reentry_h, 0);
  EXPECT_EQ(verdict.fan_needed_m3_h, 0);
  EXPECT_TRUE(verdict.findings.empty());
}

// Everything that was in the film comes into the air, also what is left when the curve ends.
TEST(Emission, AllOfTheSolventLeaves) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 0.1, 0.5, 2}, {60, 30, 10, 2}, 5);
  const std::vector<Source> sources{{&c, 2, 0.3}, {&c, 1.5, 4}};
  const auto limits = limits_of(sources, catalog);
  const Emission emission = emission_of(sources, limits, 30, 0.05);
  double given = 0;
  for (std::size_t i = 0; i + 1 < emission.hours.size(); ++i)
    given += (emission.hours[i + 1] - emission.hours[i]) * (emission.from[0][i] + emission.to[0][i]) / 2;
  EXPECT_NEAR(given, c.g_m2[0][0] * 3.5, 1e-8 * given);
}

TEST(Course, BenchIsWorseThanRoomAndRoomWorseThanHouse) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 1, 3}, {20, 10, 0});
  Room room;
  room.house_m3 = 250;
  room.door_m3_h = 30;
  const Course course = vapour(room, {{&c, 2, 0}}, catalog, 3);
  ASSERT_EQ(course.ppm_house.size(), 1u);
  for (std::size_t i = 1; i < course.hours.size(); ++i) {
    EXPECT_GE(course.ppm_bench[0][i], course.ppm_room[0][i]);
    EXPECT_GE(course.ppm_room[0][i], course.ppm_house[0][i]);
  }
}

// A long even emission: the steady state is E/Q + E/exchange at the bench, and every mean equals it.
TEST(Judge, SteadyRoom) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 200}, {1, 1});
  Room room;
  const Verdict verdict = judge(room, {{&c, 5, 0}}, catalog, 150);
  const double ppm = 244.5 * (5.0 / 20 + 5.0 / 300);
  EXPECT_NEAR(verdict.peak_ppm, ppm, 1e-6 * ppm);
  EXPECT_NEAR(verdict.twa_ppm, ppm, 1e-6 * ppm);
  EXPECT_NEAR(verdict.stel_ppm, ppm, 1e-6 * ppm);
  EXPECT_NEAR(verdict.peak_mg_m3, 1000 * (5.0 / 20 + 5.0 / 300), 1e-3);
  EXPECT_NEAR(verdict.mixture_share, ppm / 50, 1e-6 * ppm);
  EXPECT_NEAR(verdict.lel_share, ppm * 1e-6 / 0.01, 1e-9);
  EXPECT_EQ(verdict.worst_component, "thin");
}

// The largest mean of an exponential decay over a window from its start: C0 (1 - e^(-a w)) / (a w).
TEST(Judge, MeansOfADecay) {
  std::vector<double> hours, value, integral;
  for (int i = 0; i <= 400; ++i) {
    const double t = i * 0.05;
    hours.push_back(t), value.push_back(std::exp(-0.5 * t)), integral.push_back((1 - std::exp(-0.5 * t)) / 0.5);
  }
  EXPECT_NEAR(worst_mean(hours, value, integral, 8), (1 - std::exp(-4)) / 4, 1e-9);
  EXPECT_NEAR(worst_mean(hours, value, integral, 0.25), (1 - std::exp(-0.125)) / 0.125, 1e-9);
  EXPECT_NEAR(worst_mean(hours, value, integral, 0.37), (1 - std::exp(-0.185)) / 0.185, 1e-6);
}

// Decay after a short burst in one room: the time at which it passes the limit is known.
TEST(Judge, ReentryTime) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 0.01}, {2000, 2000});  // 20 g/m² at once
  const Room room = mixed(40, 2);
  const Verdict verdict = judge(room, {{&c, 2, 0}}, catalog, 24);
  const double start_ppm = 244.5 * 40 / 40;
  const double expected = std::log(start_ppm / 50) / 2;
  EXPECT_GE(verdict.reentry_h, expected - 1e-3);
  EXPECT_LE(verdict.reentry_h, expected + 0.06);
  // Later coats count from the last one.
  const Verdict later = judge(room, {{&c, 2, 0}, {&c, 2, 6}}, catalog, 24);
  EXPECT_NEAR(later.reentry_h, verdict.reentry_h, 0.06);
}

TEST(Judge, NeverBackInAClosedRoom) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 1}, {50, 50});
  Room room;
  room.air_changes_per_h = 0;
  const Verdict verdict = judge(room, {{&c, 2, 0}}, catalog, 24);
  EXPECT_TRUE(std::isinf(verdict.reentry_h));
  EXPECT_TRUE(has(verdict, "air-no-reentry"));
}

TEST(Judge, TheFanNeededIsEnoughAndOneLessIsNot) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 0.5, 2, 6}, {12, 8, 4, 0});
  Room room;
  const Verdict alone = judge(room, {{&c, 4, 0}}, catalog, 24);
  ASSERT_GT(alone.mixture_share, 1);
  ASSERT_GT(alone.fan_needed_m3_h, 0);
  ASSERT_TRUE(std::isfinite(alone.fan_needed_m3_h));
  room.fan_m3_h = alone.fan_needed_m3_h;
  const Verdict with = judge(room, {{&c, 4, 0}}, catalog, 24);
  EXPECT_LT(with.mixture_share, 1);
  EXPECT_LT(with.stel_share, 1);
  EXPECT_LT(with.lel_share, 0.1);
  room.fan_m3_h = alone.fan_needed_m3_h - 1;
  const Verdict less = judge(room, {{&c, 4, 0}}, catalog, 24);
  EXPECT_TRUE(less.mixture_share >= 1 || less.stel_share >= 1 || less.lel_share >= 0.1);
}

TEST(Judge, NoFanHelpsWhenTheBenchItselfIsOver) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 8}, {60, 60});
  Room room;
  room.exchange_m3_h = 50;
  const Verdict verdict = judge(room, {{&c, 5, 0}}, catalog, 24);
  EXPECT_TRUE(std::isinf(verdict.fan_needed_m3_h));
  EXPECT_TRUE(has(verdict, "air-over-mask"));
}

TEST(Judge, MoreAirLessAreaFewerCoatsNeverWorse) {
  const auto catalog = two_solvents();
  const auto thin = curve({0, 0.2, 1, 4}, {40, 20, 5, 0});
  const auto slow = curve({0, 1, 10}, {4, 3, 0}, 1, "slow");
  double before = 1e9;
  for (double fan : {0.0, 30.0, 100.0, 400.0, 1500.0}) {
    Room room;
    room.fan_m3_h = fan;
    const Verdict verdict = judge(room, {{&thin, 2, 0}, {&slow, 2, 0.5}}, catalog, 24);
    EXPECT_LE(verdict.mixture_share, before + 1e-12);
    before = verdict.mixture_share;
    const Verdict smaller = judge(room, {{&thin, 1, 0}, {&slow, 2, 0.5}}, catalog, 24);
    const Verdict fewer = judge(room, {{&thin, 2, 0}}, catalog, 24);
    EXPECT_LE(smaller.mixture_share, verdict.mixture_share);
    EXPECT_LE(smaller.reentry_h, verdict.reentry_h + 1e-9);
    EXPECT_LE(fewer.lel_share, verdict.lel_share);
    EXPECT_LE(verdict.room_share, verdict.mixture_share);
  }
}

// The system is linear: two coats at once are the sum of each alone.
TEST(Course, CoatsAddUp) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 0.2, 1, 4}, {40, 20, 5, 0});
  const Course one = vapour({}, {{&c, 1, 0}}, catalog, 10), three = vapour({}, {{&c, 1, 0}, {&c, 2, 0}}, catalog, 10);
  ASSERT_EQ(one.hours, three.hours);
  for (std::size_t i = 0; i < one.hours.size(); ++i)
    EXPECT_NEAR(three.ppm_bench[0][i], 3 * one.ppm_bench[0][i], 1e-9 * (1 + three.ppm_bench[0][i]));
}

TEST(Judge, MissingLimitsErrToTheSafeSide) {
  auto catalog = two_solvents();
  catalog.components.push_back(component("unset", 100, 0, 0, 1));
  const auto unset = curve({0, 4}, {2, 2}, 0, "unset"), unknown = curve({0, 4}, {2, 2}, 0, "new_stuff"),
             known = curve({0, 4}, {2, 2});
  const Verdict a = judge({}, {{&unset, 2, 0}}, catalog, 24), b = judge({}, {{&unknown, 2, 0}}, catalog, 24),
                c = judge({}, {{&known, 2, 0}}, catalog, 24);
  EXPECT_TRUE(has(a, "air-no-limit"));
  EXPECT_TRUE(has(b, "air-unknown-vapour"));
  EXPECT_GT(a.mixture_share, c.mixture_share);
  EXPECT_GT(b.mixture_share, c.mixture_share);
  EXPECT_GT(b.lel_share, 0);
  EXPECT_TRUE(has(c, "air-cartridge"));
}

TEST(Judge, WrongNumbersDoNotMakeTheAirLookBetter) {
  const auto catalog = two_solvents();
  auto c = curve({0, 1, 4}, {10, 5, 1});
  const double sound = judge({}, {{&c, 2, 0}}, catalog, 24).mixture_share;
  Room bad;
  bad.volume_m3 = -5;
  bad.air_changes_per_h = NAN;
  bad.fan_m3_h = -100;
  EXPECT_TRUE(trouble_with(bad));
  EXPECT_FALSE(trouble_with(Room{}));
  EXPECT_GT(judge(bad, {{&c, 2, 0}}, catalog, 24).mixture_share, sound);
  c.g_m2_h[0][1] = NAN;
  EXPECT_TRUE(std::isfinite(judge({}, {{&c, 2, 0}, {nullptr, 3, 0}}, catalog, 24).mixture_share));
  film::Model::Curve empty;
  EXPECT_EQ(judge({}, {{&empty, 2, 0}}, catalog, NAN).mixture_share, 0);
  empty.components = {"thin"};
  EXPECT_EQ(judge({}, {{&empty, 2, 0}}, catalog, 24).mixture_share, 0);
}

catalog::Product spray_can() {
  catalog::Product can;
  can.name = "Bench can";
  can.density_kg_l = 0.9;
  can.volatiles = {{"thin", 0.7}, {"water", 0.1}};
  can.propellant = catalog::Propellant{"gas", 0.4};
  can.applications = {{catalog::Method::aerosol, 50, 0.6, 10},
                      {catalog::Method::spray_gun, 50, 0.5, 5},
                      {catalog::Method::brush, 60, 0.9, 12}};
  return can;
}

// 2 m² of 50 µm at 0.9 kg/l are 90 g on the work; at 60 % transfer 150 g leave the can, with 0.4/0.6 as much gas.
TEST(Sprayed, MistAndPropellantByMass) {
  const catalog::Product can = spray_can();
  const auto releases = sprayed(can, can.applications[0], 50, 2);
  ASSERT_EQ(releases.size(), 2u);
  EXPECT_EQ(releases[0].component, "thin");
  EXPECT_NEAR(releases[0].g, 0.7 * 60, 1e-9);
  EXPECT_EQ(releases[1].component, "gas");
  EXPECT_NEAR(releases[1].g, 150 * 0.4 / 0.6, 1e-9);
  EXPECT_NEAR(releases[1].hours, 20.0 / 60, 1e-12);
  const auto gun = sprayed(can, can.applications[1], 50, 2);
  ASSERT_EQ(gun.size(), 1u);
  EXPECT_NEAR(gun[0].g, 0.7 * 90, 1e-9);
  EXPECT_TRUE(sprayed(can, can.applications[2], 60, 2).empty());
}

// An even release of T hours into one well-mixed room from rest: E/Q (1 - e^(-a T)) at its end, then decay.
TEST(Sprayed, ReleaseInOneRoomByTheClosedForm) {
  const auto catalog = two_solvents();
  Source source{nullptr, 0, 1, {{"thin", 12, 0, 0.5}}};
  const Room room = mixed(40, 2);
  const Course course = vapour(room, {source}, catalog, 6);
  ASSERT_EQ(course.components, std::vector<std::string>{"thin"});
  const double q = 80, a = 2, rate = 24;
  for (std::size_t i = 0; i < course.hours.size(); ++i) {
    const double t = course.hours[i] - 1, on = std::clamp(t, 0.0, 0.5), off = std::max(0.0, t - 0.5);
    const double ppm = 244.5 * rate / q * (1 - std::exp(-a * on)) * std::exp(-a * off);
    EXPECT_NEAR(course.ppm_room[0][i], ppm, 0.02) << t;
  }
  const Emission emission = emission_of({source}, limits_of({source}, catalog), 30, 0.05);
  double given = 0;
  for (std::size_t i = 0; i + 1 < emission.hours.size(); ++i)
    given += (emission.hours[i + 1] - emission.hours[i]) * (emission.from[0][i] + emission.to[0][i]) / 2;
  EXPECT_NEAR(given, 12, 1e-8 * 12);
}

TEST(Sprayed, ACanIsWorseThanTheSameFilmBrushed) {
  auto catalog = two_solvents();
  catalog.components.push_back(component("gas", 58, 800, 1000, 1.6));
  const auto c = curve({0, 0.2, 1}, {60, 20, 0});
  const catalog::Product can = spray_can();
  const Source brushed{&c, 2, 0, {}};
  const Source from_can{&c, 2, 0, sprayed(can, can.applications[0], 50, 2)};
  const Verdict a = judge({}, {brushed}, catalog, 24), b = judge({}, {from_can}, catalog, 24);
  EXPECT_GT(b.lel_share, 1.5 * a.lel_share);
  EXPECT_GT(b.mixture_share, a.mixture_share);
  EXPECT_GE(b.fan_needed_m3_h, a.fan_needed_m3_h);
  EXPECT_FALSE(has(a, "spray-mist"));
  EXPECT_TRUE(has(b, "spray-mist"));
  ASSERT_EQ(b.vapours.size(), 2u);
  EXPECT_EQ(b.vapours[1].component, "gas");
  EXPECT_EQ(b.vapours[1].twa_limit_ppm, 800);
  EXPECT_GT(b.vapours[1].peak_ppm, b.vapours[1].stel_ppm);
  EXPECT_GT(b.vapours[1].stel_ppm, b.vapours[1].twa_ppm);
  // Bad numbers let nothing go rather than something wrong; an unknown gas is taken as harmful.
  const Source bad{&c, 2, 0, {{"gas", NAN, 0, 0.1}, {"gas", -5, 0, 0.1}, {"new_gas", 5, 0, 0}}};
  const Verdict d = judge({}, {bad}, catalog, 24);
  EXPECT_TRUE(std::isfinite(d.lel_share));
  EXPECT_TRUE(has(d, "air-unknown-vapour"));
}

TEST(FreshAir, LeaksAndFanAddInQuadrature) {
  Room room;
  room.fan_m3_h = 15;
  EXPECT_NEAR(fresh_air_m3_h(room), 25, 1e-12);  // 20 and 15
}

TEST(Ignition, QuarterOfTheLimitForbids) {
  const auto catalog = two_solvents();
  const auto c = curve({0, 1}, {400, 400});
  const Verdict verdict = judge({}, {{&c, 3, 0}}, catalog, 24);
  ASSERT_GE(verdict.lel_share, 0.25);
  bool forbidden = false;
  for (const auto& finding : verdict.findings)
    forbidden = forbidden || (finding.rule == "air-ignition" && finding.severity == catalog::Severity::must_not);
  EXPECT_TRUE(forbidden);
}

TEST(Cautions, ShownWhateverTheNumbersSay) {
  catalog::Product oil;
  oil.name = "Bench oil";
  oil.cure = catalog::Cure::oxidation;  // the entry forgot to say that its rags heat up
  oil.kind = catalog::Kind::oil;
  oil.carrier = catalog::Carrier::mineral_spirits;
  oil.volatiles = {{"thin", 0.4}};
  catalog::Product water;
  water.name = "Bench clear";
  water.carrier = catalog::Carrier::water;
  water.volatiles = {{"water", 0.6}};
  const auto rules = [](const std::vector<const catalog::Product*>& products) {
    std::string text;
    for (const auto& finding : usual_cautions(products)) {
      text += finding.rule + " ";
      EXPECT_FALSE(finding.source.empty());
      EXPECT_FALSE(finding.mend.empty());
    }
    return text;
  };
  const std::string oily = rules({&oil, nullptr}), wet = rules({&water});
  for (const char* rule : {"rags-self-heat", "no-flames", "fresh-air", "dust", "local-codes"})
    EXPECT_NE(oily.find(rule), std::string::npos) << rule;
  const catalog::Product can = spray_can();
  EXPECT_NE(rules({&can}).find("spray-mist"), std::string::npos);
  catalog::Product two_part;
  two_part.name = "Bench two-part";
  two_part.cure = catalog::Cure::crosslink;
  bool isocyanate = false;
  for (const auto& finding : usual_cautions({&two_part}))
    isocyanate = isocyanate || finding.mend.find("supplied air") != std::string::npos;
  EXPECT_TRUE(isocyanate);
  EXPECT_EQ(wet.find("rags-self-heat"), std::string::npos);
  EXPECT_EQ(wet.find("no-flames"), std::string::npos);
  EXPECT_NE(wet.find("dust"), std::string::npos);
}

}  // namespace
}  // namespace tackcloth::air
