// The exact search against another solver: the same small models stated in MiniZinc (Nethercote et al., CP 2007) and
// solved to optimality by Gecode. Debian package `minizinc`; left out loudly where it is not installed.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "calendar/solve.h"
#include "minizinc_model.h"
#include "random_model.h"

namespace tackcloth::calendar {
namespace {

using Key = std::array<std::int64_t, 4>;  // lateness, finish, visits, moved

std::string output_of(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return text;
  std::array<char, 4096> part{};
  while (std::fgets(part.data(), static_cast<int>(part.size()), pipe)) text += part.data();
  pclose(pipe);
  return text;
}

struct Folder {
  std::filesystem::path path;
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "calendar-minizinc-XXXXXX").string();
    if (mkdtemp(name.data())) path = name;
  }
  ~Folder() {
    std::error_code ignored;
    if (!path.empty()) std::filesystem::remove_all(path, ignored);
  }
};

TEST(MiniZinc, GecodeFindsTheSameOptimum) {
  if (std::system("command -v minizinc >/dev/null 2>&1") != 0) {
    GTEST_SKIP() << "NOT CHECKED against MiniZinc: install the Debian package `minizinc`";
  }
  const Folder folder;
  ASSERT_FALSE(folder.path.empty());
  const std::filesystem::path constraints = folder.path / "calendar.mzn";
  std::ofstream(constraints) << minizinc::kConstraints;
  constexpr int kModels = 40, kHorizon = 64;
  int compared = 0, refuted = 0, unfinished = 0, promised = 0, people = 0, tails = 0;
  for (int k = 0; k < kModels; ++k) {
    const Model m = brute::random_model(static_cast<std::uint64_t>(7000 + k), 5 + k % 2, 40);
    for (const Activity& a : m.activities) ASSERT_LE(a.pool_demands.size(), 1u);
    const std::filesystem::path data = folder.path / ("m" + std::to_string(k) + ".dzn");
    std::ofstream(data) << minizinc::data(m, kHorizon);
    const std::string text = output_of("minizinc --solver gecode --time-limit 5000 '" + constraints.string() + "' '" +
                                       data.string() + "' 2>/dev/null");
    Options o;
    o.max_schedules = 100;
    o.proof_conflicts = 200'000;
    const Outcome out = solve(m, o);
    if (text.find("UNSATISFIABLE") != std::string::npos) {
      ++refuted;  // within its horizon
      if (out.status != Status::infeasible) {
        EXPECT_GT(out.best.cost.finish, kHorizon) << "model " << k;
      }
      continue;
    }
    const auto plan = text.rfind("plan ");
    if (plan == std::string::npos || text.find("==========") == std::string::npos) {
      ++unfinished;
      continue;
    }
    Key theirs{};
    std::istringstream numbers(text.substr(plan + 5));
    for (auto& part : theirs) numbers >> part;
    ASSERT_FALSE(numbers.fail()) << text;
    ASSERT_EQ(out.status, Status::optimal) << "model " << k << ": " << out.explanation;
    EXPECT_THAT(violations(m, out.best), testing::IsEmpty()) << "model " << k;
    const Cost& c = out.best.cost;
    EXPECT_EQ(theirs, (Key{c.lateness, c.finish, c.visits, c.moved})) << "model " << k;
    ++compared;
    promised += c.lateness > 0;
    for (const Activity& a : m.activities) {
      people += !a.pool_demands.empty();
      tails += !a.tail_demands.empty();
    }
  }
  std::cout << "same optimum asked " << compared << " times (" << promised << " with lateness), no schedule " << refuted
            << ", not finished by Gecode " << unfinished << "\n";
  EXPECT_GE(compared, kModels * 3 / 4);
  EXPECT_LE(unfinished, 2);
  EXPECT_GT(promised, 5);  // the parts are really there
  EXPECT_GT(people, kModels);
  EXPECT_GT(tails, 5);
}

}  // namespace
}  // namespace tackcloth::calendar
