// Layouts of rectangles on a strip; every one goes through the independent checker.
//   cut_bench FILE.csv --width W [--seconds S] [--layouts N] [--seed K] [--turns] [--guillotine] [--gap G] [--json]
//             [--out PLACES.csv]
//   cut_bench --set bench/hopper_turton.txt [--only C4] ...: instances with a known least height, one line each
#include <chrono>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cutting/check.h"
#include "cutting/parts_csv.h"
#include "cutting/strip.h"

namespace {

using namespace tackcloth;
using cutting::Length;

struct Arguments {
  std::string file, set, only, out;
  Length width = 0, gap = 0;
  double seconds = 0;
  std::int64_t layouts = 0;
  std::uint64_t seed = 1;
  bool turns = false, guillotine = false, json = false, steps = false;
};

double now() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

int fail(const Problem& problem) {
  std::cerr << "cut_bench: " << to_text(problem) << "\n";
  return 2;
}

std::optional<Problem> parse(int count, char** values, Arguments& a) {
  for (int k = 1; k < count; ++k) {
    const std::string word = values[k];
    const auto number = [&]() -> Length {
      const auto value = k + 1 < count ? cutting::whole_number(values[++k]) : Result<Length>(-1);
      return value ? *value : -1;
    };
    const auto text = [&]() -> std::string { return k + 1 < count ? values[++k] : ""; };
    const Problem bad{
        "", 0, 0, word + " wants a number above 0", "as in --width 1400 --seconds 10", "give the number after it"};
    if (word == "--width") {
      if ((a.width = number()) <= 0) return bad;
    } else if (word == "--seconds") {
      char* end = nullptr;
      const std::string given = text();
      a.seconds = std::strtod(given.c_str(), &end);
      if (given.empty() || *end != '\0' || !(a.seconds > 0) || a.seconds > 86400) return bad;
    } else if (word == "--layouts") {
      if ((a.layouts = number()) <= 0) return bad;
    } else if (word == "--seed") {
      const Length seed = number();
      if (seed < 0) return bad;
      a.seed = static_cast<std::uint64_t>(seed);
    } else if (word == "--gap") {
      if ((a.gap = number()) < 0) return bad;
    } else if (word == "--set") {
      a.set = text();
    } else if (word == "--only") {
      a.only = text();
    } else if (word == "--out") {
      a.out = text();
    } else if (word == "--turns") {
      a.turns = true;
    } else if (word == "--guillotine") {
      a.guillotine = true;
    } else if (word == "--json") {
      a.json = true;
    } else if (word == "--steps") {
      a.steps = true;
    } else if (word.rfind("--", 0) == 0 || !a.file.empty()) {
      return Problem{
          "",
          0,
          0,
          "unknown argument '" + word + "'",
          "FILE.csv --width W [--seconds S] [--layouts N] [--seed K] [--turns] [--guillotine] [--gap G] [--json] "
          "[--out PLACES.csv]",
          "leave it out"};
    } else {
      a.file = word;
    }
  }
  if (a.set.empty() && a.file.empty())
    return Problem{
        "", 0, 0, "no file of parts is named", "FILE.csv --width W", "name a CSV with rows id,width,height[,quantity]"};
  if (a.set.empty() && a.width <= 0)
    return Problem{
        "", 0, 0, "the width of the strip is not given", "--width W, in the file's unit", "measure the roll"};
  if (a.seconds <= 0 && a.layouts <= 0) a.seconds = 10;
  return std::nullopt;
}

cutting::Options options_of(const Arguments& a, double begin, double& first) {
  cutting::Options options;
  options.seed = a.seed;
  options.max_layouts = a.layouts > 0 ? a.layouts : std::int64_t{1} << 60;
  options.max_seconds = a.seconds;
  options.now_seconds = now;
  options.proof_nodes = 2'000'000;
  options.on_better = [&a, begin, &first](const cutting::Outcome& o) {
    if (first == 0) first = now() - begin;
    if (a.steps)
      std::cerr << (now() - begin) * 1e3 << " ms: " << o.layout.height << " (bound " << o.lower_bound << ")\n";
  };
  return options;
}

int run_file(const Arguments& a) {
  std::ifstream file(a.file, std::ios::binary);
  if (!file)
    return fail(
        {a.file, 0, 0, "the file cannot be read", "a CSV with rows id,width,height[,quantity]", "check its name"});
  std::ostringstream text;
  text << file.rdbuf();
  const auto parts = cutting::parts_from_csv(text.str(), a.file, a.turns, cutting::whole_number);
  if (!parts) {
    for (const Problem& p : parts.error()) fail(p);
    return 2;
  }
  const double begin = now();
  double first = 0;
  const cutting::Strip strip{a.width, a.gap, a.guillotine};
  const auto outcome = cutting::lay_out(*parts, strip, options_of(a, begin, first));
  const double seconds = now() - begin;
  if (!outcome) {
    for (const Problem& p : outcome.error()) fail(p);
    return 2;
  }
  const auto faults = cutting::faults(*parts, strip, outcome->layout);
  for (const std::string& fault : faults) std::cerr << "cut_bench: " << fault << "\n";
  if (!a.out.empty()) {
    std::ofstream out(a.out, std::ios::binary);
    out << cutting::places_csv(*parts, outcome->layout);
    out.close();
    if (!out) return fail({a.out, 0, 0, "the file cannot be written", "a place to write to", "check the folder"});
  }
  const nlohmann::ordered_json j{{"height", outcome->layout.height},
                                 {"lower_bound", outcome->lower_bound},
                                 {"proven", outcome->proven},
                                 {"parts", outcome->layout.places.size()},
                                 {"seconds", seconds},
                                 {"first_ms", first * 1e3},
                                 {"layouts", outcome->layouts},
                                 {"faults", faults.size()}};
  if (a.json) {
    std::cout << j.dump(2) << "\n";
  } else {
    for (const auto& [key, value] : j.items()) std::cout << key << ": " << value << "\n";
  }
  return faults.empty() ? 0 : 1;
}

int run_set(const Arguments& a) {
  std::ifstream file(a.set);
  if (!file)
    return fail({a.set, 0, 0, "the file cannot be read", "lines: name width height WxH WxH ...", "check its name"});
  nlohmann::ordered_json rows = nlohmann::ordered_json::array();
  double gaps = 0, slowest_first = 0;
  int count = 0, optimal = 0, proven = 0, invalid = 0;
  std::string line;
  while (std::getline(file, line)) {
    std::istringstream words(line);
    std::string name, size;
    Length width = 0, known = 0;
    if (line.empty() || line[0] == '#' || !(words >> name >> width >> known)) continue;
    if (name.rfind(a.only, 0) != 0) continue;
    std::vector<cutting::Part> parts;
    while (words >> size) {
      cutting::Part part;
      char x = 0;
      std::istringstream(size) >> part.width >> x >> part.height;
      part.id = std::to_string(parts.size() + 1);
      part.may_turn = a.turns;
      parts.push_back(part);
    }
    const double begin = now();
    double first = 0;
    const cutting::Strip strip{width, 0, a.guillotine};
    const auto outcome = cutting::lay_out(parts, strip, options_of(a, begin, first));
    if (!outcome) return fail(outcome.error().front());
    const auto faults = cutting::faults(parts, strip, outcome->layout);
    for (const std::string& fault : faults) std::cerr << name << ": " << fault << "\n";
    const double gap = 100.0 * static_cast<double>(outcome->layout.height - known) / static_cast<double>(known);
    gaps += gap;
    ++count;
    optimal += outcome->layout.height == known;
    proven += outcome->proven;
    invalid += !faults.empty() || outcome->layout.height < known || outcome->lower_bound > known;
    slowest_first = std::max(slowest_first, first);
    rows.push_back({{"name", name},
                    {"known", known},
                    {"height", outcome->layout.height},
                    {"lower_bound", outcome->lower_bound},
                    {"proven", outcome->proven},
                    {"gap_percent", gap},
                    {"seconds", now() - begin},
                    {"layouts", outcome->layouts}});
    if (!a.json) std::cout << rows.back().dump() << std::endl;
  }
  const nlohmann::ordered_json j{{"instances", count}, {"average_gap_percent", count > 0 ? gaps / count : 0.0},
                                 {"optimal", optimal}, {"proven", proven},
                                 {"invalid", invalid}, {"slowest_first_ms", slowest_first * 1e3}};
  if (a.json) {
    auto all = j;
    all["rows"] = rows;
    std::cout << all.dump(2) << "\n";
  } else {
    std::cout << j.dump() << "\n";
  }
  return invalid == 0 ? 0 : 1;
}

}  // namespace

int main(int count, char** values) {
  Arguments arguments;
  if (const auto problem = parse(count, values, arguments)) return fail(*problem);
  return arguments.set.empty() ? run_file(arguments) : run_set(arguments);
}
