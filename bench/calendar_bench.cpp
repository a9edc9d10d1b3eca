// Workshop-sized models: pieces of some twenty steps on one owner's evenings and weekends, a helper on Saturdays, a few
// resting places, drying that is slower at night, recoat windows. --json prints one object a size. --seconds S adds a
// run with that much time and --threads T (2), where the exact search works beside the other one. --unpromised leaves
// the promises out: what the finish and its bound are worth when nothing outranks them.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <nlohmann/json.hpp>
#include <thread>

#include "calendar/solve.h"

namespace {

using namespace tackcloth::calendar;

double now() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

// Minutes. Monday 00:00 is tick 0.
Model workshop(int pieces, int days) {
  Model m;
  Resource owner{"owner", 1, {}}, helper{"helper", 1, {}};
  for (int d = 0; d < days; ++d) {
    const Tick day = d * 1440;
    if (d % 7 < 5) {
      owner.windows.push_back({day + 18 * 60, day + 21 * 60 + 30});
    } else {
      owner.windows.push_back({day + 9 * 60, day + 12 * 60 + 30});
      owner.windows.push_back({day + 13 * 60 + 30, day + 18 * 60});
    }
    if (d % 7 == 5) helper.windows.push_back({day + 9 * 60, day + 13 * 60});
  }
  m.resources = {owner, helper, {"resting places", 3, {}}};
  m.pools = {{"anyone", {0, 1}}, {"owner", {0}}};
  std::uint64_t state = 88172645463325252ULL;
  const auto roll = [&state](int low, int high) {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return low + static_cast<int>(state % static_cast<std::uint64_t>(high - low + 1));
  };
  for (int p = 0; p < pieces; ++p) {
    const int steps = roll(17, 23);
    int last_coat = -1;
    for (int s = 0; s < steps; ++s) {
      Activity a;
      a.name = "P" + std::to_string(p) + "-" + std::to_string(s);
      a.duration = 5 * roll(2, 18);
      a.pool_demands = {{roll(0, 1), 1}};
      if (roll(0, 9) == 0) a.pool_demands = {{0, 2}};  // a lift for two
      a.visit_group = p;
      const bool coat = s > 4 && s % 3 == 0;
      TimeFunction dry;
      if (coat) {
        const int day_minutes =
            60 * roll(1, 24);  // half as long again for a coat that ends after 19:00: the night is cool
        dry.value = {day_minutes};
        for (int d = 0; d < days; ++d) {
          dry.at.push_back(d * 1440 + 8 * 60);
          dry.value.push_back(day_minutes);
          dry.at.push_back(d * 1440 + 19 * 60);
          dry.value.push_back(day_minutes * 3 / 2);
        }
        dry.value.erase(dry.value.begin());
        a.tail = dry;
        a.tail_demands = {{2, 1}};
      }
      const int i = static_cast<int>(m.activities.size());
      if (s > 0) {
        Precedence q;
        q.from = i - 1;
        q.to = i;
        q.min_lag = m.activities.back().tail;
        if (last_coat == i - 1 && roll(0, 1) == 0) {
          q.max_lag = TimeFunction{{}, {48 * 60 + *std::max_element(q.min_lag.value.begin(), q.min_lag.value.end())}};
          q.late_extra = 20;
        }
        m.precedences.push_back(q);
      }
      if (coat) last_coat = i;
      m.activities.push_back(a);
    }
    m.promises.push_back({static_cast<int>(m.activities.size()) - 1, (14 + 5 * p) * 1440, 1 + p % 3});
  }
  return m;
}

// How long solve() goes on after cancel was raised, in milliseconds: the worst of several moments.
double cancel_ms(const Model& m, Options o, double seconds) {
  double worst = 0;
  for (const int after_ms : {20, 60, 100, 150, 250, 400, 600, 2500}) {
    std::atomic<bool> cancel{false};
    o.cancel = &cancel;
    o.on_better = nullptr;
    o.max_schedules = std::int64_t{1} << 60;
    o.max_seconds = seconds;
    double raised = 0;
    std::thread canceller([&] {
      std::this_thread::sleep_for(std::chrono::milliseconds(after_ms));
      raised = now();
      cancel = true;
    });
    (void)solve(m, o);
    const double back = now();
    canceller.join();
    if (back > raised) worst = std::max(worst, 1000 * (back - raised));
  }
  return worst;
}

const char* word(Status s) {
  return s == Status::optimal      ? "optimal"
         : s == Status::feasible   ? "feasible"
         : s == Status::infeasible ? "infeasible"
                                   : "unknown";
}

}  // namespace

int main(int count, char** values) {
  bool json = false;
  std::vector<int> sizes{5, 10, 20, 40, 80, 400};
  std::int64_t schedules = 0;  // 0: 400, and 50 for the largest
  double seconds = 0;
  int threads = 2;
  bool promised = true;
  for (int k = 1; k < count; ++k) {
    const std::string option = values[k];
    if (option == "--json") {
      json = true;
    } else if (option == "--unpromised") {
      promised = false;
    } else if (option == "--pieces" && k + 1 < count) {
      sizes = {std::max(1, std::atoi(values[++k]))};
    } else if (option == "--schedules" && k + 1 < count) {
      schedules = std::atoll(values[++k]);
    } else if (option == "--seconds" && k + 1 < count) {
      seconds = std::atof(values[++k]);
    } else if (option == "--threads" && k + 1 < count) {
      threads = std::max(1, std::atoi(values[++k]));
    } else {
      std::cerr
          << "usage: calendar_bench [--pieces N] [--schedules N] [--seconds S] [--threads T] [--unpromised] [--json]\n";
      return 2;
    }
  }
  nlohmann::ordered_json all = nlohmann::ordered_json::array();
  for (const int pieces : sizes) {
    const int days = 60 + pieces * 12;
    Model m = workshop(pieces, days);
    if (!promised) m.promises.clear();
    Options o;
    o.max_schedules = schedules > 0 ? schedules : pieces > 100 ? 50 : 400;
    o.now_seconds = now;
    double first = 0;
    const double from = now();
    o.on_better = [&](const Outcome&) {
      if (first == 0) first = now() - from;
    };
    const Outcome out = solve(m, o);
    const double full = now() - from;
    // One event logged a third of the way through: everything before is a fact, one task took an hour longer.
    const std::size_t broken = violations(m, out.best).size(), activities = m.activities.size();
    Model replan = std::move(m);  // one model in memory, as in a plan
    replan.previous_start = out.best.start;
    const Tick when = out.best.cost.finish / 3;
    int overrun = -1;
    for (std::size_t i = 0; i < activities; ++i) {
      if (out.best.start[i] >= when) {
        replan.activities[i].release = std::max(replan.activities[i].release, when);
        continue;
      }
      replan.activities[i].fixed_start = out.best.start[i];
      replan.activities[i].duration = out.best.duration[i];
      if (overrun < 0 || out.best.start[i] > out.best.start[static_cast<std::size_t>(overrun)])
        overrun = static_cast<int>(i);
    }
    if (overrun >= 0) replan.activities[static_cast<std::size_t>(overrun)].duration += 60;
    Options r;
    r.max_schedules = 24;
    r.now_seconds = now;
    const double again = now();
    const std::clock_t again_cpu = std::clock();  // what a machine shared with others would take alone
    const Outcome moved = solve(replan, r);
    const double replanned = now() - again;
    const double replanned_cpu = static_cast<double>(std::clock() - again_cpu) / CLOCKS_PER_SEC;
    nlohmann::ordered_json j;
    j["pieces"] = pieces;
    j["activities"] = activities;
    j["schedules"] = out.schedules;
    j["first_plan_seconds"] = first;
    j["seconds"] = full;
    j["finish_days"] = static_cast<double>(out.best.cost.finish) / 1440.0;
    j["bound_days"] = static_cast<double>(out.finish_lower_bound) / 1440.0;
    j["gap_percent"] = out.gap_percent;
    j["lateness"] = out.best.cost.lateness;
    j["lateness_bound"] = out.lateness_lower_bound;
    j["visits"] = out.best.cost.visits;
    j["violations"] = broken + violations(replan, moved.best).size();
    j["replan_seconds"] = replanned;
    j["replan_cpu_seconds"] = replanned_cpu;
    j["replan_moved"] = moved.best.cost.moved;
    replan = Model{};
    m = workshop(pieces, days);
    if (!promised) m.promises.clear();
    o.threads = threads;
    j["cancel_ms"] = cancel_ms(m, o, 30);
    if (seconds > 0) {
      o.max_schedules = std::int64_t{1} << 60;
      o.max_seconds = seconds;
      first = 0;
      const double begin = now();
      const Outcome timed = solve(m, o);
      j["timed_seconds"] = now() - begin;
      j["timed_status"] = word(timed.status);
      j["timed_finish_days"] = static_cast<double>(timed.best.cost.finish) / 1440.0;
      j["timed_bound_days"] = static_cast<double>(timed.finish_lower_bound) / 1440.0;
      j["timed_gap_percent"] = timed.gap_percent;
      j["timed_lateness"] = timed.best.cost.lateness;
      j["timed_lateness_bound"] = timed.lateness_lower_bound;
      j["timed_visits"] = timed.best.cost.visits;
      j["timed_violations"] = violations(m, timed.best).size();
    }
    all.push_back(j);
    if (!json) std::cout << j.dump() << "\n" << std::flush;
  }
  if (json) std::cout << all.dump(2) << "\n";
  return 0;
}
