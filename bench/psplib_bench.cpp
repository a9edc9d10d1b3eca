// The solver on PSPLIB's instances beside the best known values; every schedule goes through the independent checker.
//   psplib_bench DIR --best FILE.csv --schedules N [--seconds S] [--seed K] [--threads T] [--json] [--schedules-out
//   DIR] [--every K] [--edge-finding]
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <numeric>
#include <set>

#include "calendar/bound.h"
#include "calendar/solve.h"
#include "psplib_read.h"

namespace {

using namespace tackcloth;
using calendar::Tick;

struct Known {
  Tick low = 0, high = 0;
  bool unsat = false;
};

struct Arguments {
  std::string dir, best, schedules_out;
  std::int64_t schedules = 1000;
  double seconds = 0;
  std::uint64_t seed = 1;
  int threads = 1;
  std::size_t every = 1;  // only each K-th instance
  bool json = false, schedules_given = false, edge_finding = false;
};

double now() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

// Rows "instance,43", "instance,104..105", "instance,..87" (no lower bound given) or "instance,unsat".
std::map<std::string, Known> read_best(const std::string& path) {
  std::map<std::string, Known> known;
  std::ifstream file(path);
  std::string line;
  while (std::getline(file, line)) {
    const auto comma = line.find(',');
    if (comma == std::string::npos) continue;
    const std::string value = line.substr(comma + 1);
    Known k;
    if (value.rfind("unsat", 0) == 0) {
      k.unsat = true;
    } else {
      if (value.empty() || (std::isdigit(static_cast<unsigned char>(value[0])) == 0 && value[0] != '.')) continue;
      const auto dots = value.find("..");
      k.low = std::atoll(value.c_str());
      k.high = dots == std::string::npos ? k.low : std::atoll(value.c_str() + dots + 2);
    }
    known[line.substr(0, comma)] = k;
  }
  return known;
}

// Serial generation as textbooks write it: an array of free units a period and resource, the slot tried period by
// period. The yardstick for the time a schedule takes.
double textbook_ns(const calendar::Model& m, int repeats) {
  const std::size_t n = m.activities.size(), resources = m.resources.size();
  Tick horizon = 1;
  for (const auto& a : m.activities) horizon += a.duration;
  std::vector<std::vector<int>> before(n);
  for (const auto& p : m.precedences) before[static_cast<std::size_t>(p.to)].push_back(p.from);
  std::vector<std::size_t> order;
  std::vector<char> done(n, 0);
  while (order.size() < n) {
    for (std::size_t i = 0; i < n; ++i) {
      if (done[i]) continue;
      if (std::all_of(before[i].begin(), before[i].end(), [&](int b) { return done[static_cast<std::size_t>(b)]; })) {
        done[i] = 1;
        order.push_back(i);
      }
    }
  }
  std::vector<Tick> end(n);
  Tick sink = 0;
  const double from = now();
  for (int r = 0; r < repeats; ++r) {
    std::vector<std::vector<int>> free(resources, std::vector<int>(static_cast<std::size_t>(horizon)));
    for (std::size_t k = 0; k < resources; ++k) std::fill(free[k].begin(), free[k].end(), m.resources[k].capacity);
    for (const std::size_t i : order) {
      Tick t = 0;
      for (const int b : before[i]) t = std::max(t, end[static_cast<std::size_t>(b)]);
      const Tick d = m.activities[i].duration;
      for (bool fits = false; !fits; t += !fits) {
        fits = true;
        for (const auto& q : m.activities[i].demands) {
          for (Tick x = t; x < t + d; ++x) {
            fits = fits && free[static_cast<std::size_t>(q.resource)][static_cast<std::size_t>(x)] >= q.amount;
          }
        }
      }
      for (const auto& q : m.activities[i].demands) {
        for (Tick x = t; x < t + d; ++x)
          free[static_cast<std::size_t>(q.resource)][static_cast<std::size_t>(x)] -= q.amount;
      }
      end[i] = t + d;
    }
    sink += end[n - 1];
  }
  const double ns = (now() - from) * 1e9 / repeats;
  return sink > 0 ? ns : 0;
}

bool parse(int count, char** values, Arguments& a) {
  for (int k = 1; k < count; ++k) {
    const std::string word = values[k];
    const auto next = [&]() -> std::string { return k + 1 < count ? values[++k] : ""; };
    if (word == "--best") {
      a.best = next();
    } else if (word == "--schedules") {
      a.schedules = std::atoll(next().c_str());
      a.schedules_given = true;
    } else if (word == "--seconds") {
      a.seconds = std::atof(next().c_str());
    } else if (word == "--seed") {
      a.seed = static_cast<std::uint64_t>(std::atoll(next().c_str()));
    } else if (word == "--threads") {
      a.threads = std::atoi(next().c_str());
    } else if (word == "--every") {
      a.every = static_cast<std::size_t>(std::max(1, std::atoi(next().c_str())));
    } else if (word == "--schedules-out") {
      a.schedules_out = next();
    } else if (word == "--edge-finding") {
      a.edge_finding = true;
    } else if (word == "--json") {
      a.json = true;
    } else if (word.rfind("--", 0) == 0 || !a.dir.empty()) {
      std::cerr << "psplib_bench: unknown argument '" << word << "'\n";
      return false;
    } else {
      a.dir = word;
    }
  }
  if (a.seconds > 0 && !a.schedules_given) a.schedules = std::int64_t{1} << 60;
  return !a.dir.empty();
}

// Digits inside names sort by value: psp2 before psp10.
bool natural(const std::filesystem::path& a, const std::filesystem::path& b) {
  const std::string x = a.filename().string(), y = b.filename().string();
  return x.size() != y.size() ? x.size() < y.size() : x < y;
}

void write_schedule(const std::string& dir, const std::string& name, const calendar::Solution& s) {
  std::ofstream file(dir + "/" + name + ".csv");
  file << "activity,start,duration\n";
  for (std::size_t i = 0; i < s.start.size(); ++i) file << i + 1 << ',' << s.start[i] << ',' << s.duration[i] << '\n';
}

}  // namespace

int main(int count, char** values) {
  Arguments args;
  if (!parse(count, values, args)) {
    std::cerr << "usage: psplib_bench DIR --best FILE.csv --schedules N [--seconds S] [--seed K] [--threads T] [--json]"
                 " [--schedules-out DIR] [--every K] [--edge-finding]\n";
    return 2;
  }
  std::error_code error;
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(args.dir, error)) {
    const auto extension = entry.path().extension();
    if (extension == ".sm" || extension == ".sch" || extension == ".SCH") files.push_back(entry.path());
  }
  if (error || files.empty()) {
    std::cerr << "psplib_bench: no .sm or .sch file in " << args.dir << "\n";
    return 2;
  }
  std::sort(files.begin(), files.end(), natural);
  for (std::size_t k = 0; k * args.every < files.size(); ++k) files[k] = files[k * args.every];
  files.resize((files.size() + args.every - 1) / args.every);
  if (!args.schedules_out.empty()) std::filesystem::create_directories(args.schedules_out, error);
  const auto known = read_best(args.best);

  int instances = 0, feasible = 0, with_best = 0, optimal_found = 0, proven = 0, infeasible = 0, wrong = 0, broken = 0;
  int unsat = 0, no_worse = 0, within_one = 0;
  double cpm = 0, best = 0, textbook = 0, solver_seconds = 0;
  std::int64_t schedules = 0;
  const double begin = now();
  for (const auto& path : files) {
    const std::string name = path.filename().string();
    const auto model = path.extension() == ".sm" ? psplib::read_sm(path.string()) : psplib::read_sch(path.string());
    if (!model) {
      std::cerr << "psplib_bench: cannot read " << path.string() << "\n";
      return 2;
    }
    ++instances;
    calendar::Options options;
    options.max_schedules = args.schedules;
    options.max_seconds = args.seconds;
    options.now_seconds = now;
    options.seed = args.seed;
    options.threads = args.threads;
    options.edge_finding = args.edge_finding;
    const double from = now();
    const calendar::Outcome out = calendar::solve(*model, options);
    solver_seconds += now() - from;
    schedules += out.schedules;
    const auto k = known.find(name);
    if (k != known.end()) unsat += k->second.unsat;
    if (out.status == calendar::Status::infeasible) {
      ++infeasible;
      if (k != known.end() && !k->second.unsat) ++wrong;
    }
    if (out.status != calendar::Status::optimal && out.status != calendar::Status::feasible) continue;
    ++feasible;
    proven += out.status == calendar::Status::optimal;
    const auto lines = calendar::violations(*model, out.best);
    if (!lines.empty()) {
      ++broken;
      std::cerr << name << ": " << lines.front() << "\n";
    }
    if (!args.schedules_out.empty()) write_schedule(args.schedules_out, name, out.best);
    calendar::Problem problem(*model);
    if (!calendar::prepare(problem).empty()) continue;
    const double path_length = static_cast<double>(calendar::critical_path(problem));
    const auto finish = static_cast<double>(out.best.cost.finish);
    cpm += 100.0 * (finish - path_length) / path_length;
    if (k != known.end() && !k->second.unsat) {
      ++with_best;
      best += 100.0 * (finish - static_cast<double>(k->second.high)) / static_cast<double>(k->second.high);
      const bool optimum_known = k->second.low == k->second.high;
      optimal_found +=
          out.status == calendar::Status::optimal || (optimum_known && out.best.cost.finish == k->second.high);
      no_worse += out.best.cost.finish <= k->second.high;
      within_one += out.best.cost.finish <= k->second.high + 1;
      if (out.best.cost.finish < k->second.low) ++wrong;
      if (out.status == calendar::Status::optimal && out.best.cost.finish > k->second.high) ++wrong;
    }
    if (path.extension() == ".sm") textbook += textbook_ns(*model, 20);
  }
  const double seconds = now() - begin;
  nlohmann::ordered_json j;
  j["instances"] = instances;
  j["feasible"] = feasible;
  j["avg_dev_cpm_percent"] = feasible > 0 ? cpm / feasible : 0.0;
  j["avg_dev_best_percent"] = with_best > 0 ? best / with_best : 0.0;
  j["optimal_found"] = optimal_found;
  j["proven"] = proven;
  j["infeasible_proven"] = infeasible;
  j["seconds"] = seconds;
  j["no_worse_than_best_known"] = no_worse;
  j["within_one_of_best_known"] = within_one;
  j["marked_unsat"] = unsat;
  j["at_odds_with_known"] = wrong;
  j["schedules_that_break_a_constraint"] = broken;
  j["schedules"] = schedules;
  j["ns_per_schedule"] = schedules > 0 ? solver_seconds * 1e9 / static_cast<double>(schedules) : 0.0;
  j["ns_per_schedule_textbook"] = textbook / instances;
  if (args.json) {
    std::cout << j.dump(2) << "\n";
  } else {
    for (const auto& [key, value] : j.items()) std::cout << key << ": " << value << "\n";
  }
  return broken + wrong > 0 ? 1 : 0;
}
