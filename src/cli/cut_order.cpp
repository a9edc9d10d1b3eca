#include "cli/cut_order.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "cli/arguments.h"
#include "cli/job_of.h"
#include "cutting/outlines.h"
#include "cutting/parts_csv.h"

namespace tackcloth::cli {
namespace {

using cutting::Length;

bool in_inches(const std::string& text) {
  return text.find("in") != std::string::npos || text.find("ft") != std::string::npos ||
         text.find_first_of("\"'") != std::string::npos || text.find("yd") != std::string::npos;
}

template <class T>
Results<T> one(Problem problem) {
  return tl::unexpected(std::vector<Problem>{std::move(problem)});
}

Results<std::vector<cutting::Wanted>> outlines_of(const std::string& path, const std::string& text) {
  return path.ends_with(".svg") ? cutting::outlines_from_svg(text, path) : cutting::outlines_from_csv(text, path);
}

Results<std::string> text_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  if (!file)
    return one<std::string>({path, 0, 0, "the file cannot be read",
                             "a CSV with rows id,width,height[,quantity] or id,x,y, an SVG, or a job file",
                             "check its name"});
  return text.str();
}

Results<std::vector<CutTask>> tasks_of_file(const CutOptions& options) {
  const auto text = text_of(options.input);
  if (!text) return tl::unexpected(text.error());
  CutTask task;
  if (options.input.ends_with(".svg") || cutting::is_corner_table(*text)) {
    auto parts = outlines_of(options.input, *text);
    if (!parts) return tl::unexpected(parts.error());
    task.order.parts = std::move(*parts);
    task.order.outlines = true;
    return std::vector<CutTask>{std::move(task)};
  }
  const auto parts = cutting::parts_from_csv(*text, options.input, options.turns, cutting::micrometres);
  if (!parts) return tl::unexpected(parts.error());
  for (const cutting::Part& part : *parts) {
    cutting::Wanted wanted;
    wanted.id = part.id;
    wanted.width = part.width;
    wanted.height = part.height;
    wanted.quantity = part.quantity;
    if (part.may_turn != options.turns) wanted.turn = part.may_turn ? cutting::Turn::quarter : cutting::Turn::none;
    task.order.parts.push_back(std::move(wanted));
  }
  return std::vector<CutTask>{std::move(task)};
}

// The zones that get cloth, where the job says nothing of what they are cut from.
CutTask all_cloth(const job::Job& job) {
  CutTask task;
  for (const job::PieceOrder& wish : job.pieces)
    for (const piece::Part& part : wish.piece.parts)
      for (const piece::Zone& zone : part.zones) {
        if (zone.treatment != piece::Treatment::fabric) continue;
        const shape::Box box = shape::bounds(zone.region);
        cutting::Wanted wanted;
        wanted.id = wish.piece.id + "/" + part.id + "/" + zone.id;
        wanted.width = std::llround(box.width() * 1000);
        wanted.height = std::llround(box.height() * 1000);
        wanted.outline = zone.region;
        wanted.quantity = part.count;
        task.order.parts.push_back(std::move(wanted));
      }
  return task;
}

Results<std::vector<CutTask>> tasks_of_job(const CutOptions& options, units::System& system, const Context& context) {
  const auto read = job_of_file(options.input, context);
  if (!read) return tl::unexpected(read.error());
  if (options.units.empty()) system = read->job.shop.system;
  std::vector<CutTask> tasks;
  std::string known;
  for (const job::CutFrom& cut : read->job.cuts) {
    known += (known.empty() ? "" : ", ") + cut.id;
    if (options.only.empty() ? !cut.order.parts.empty() : cut.id == options.only)
      tasks.push_back({cut.id, cut.name, cut.order});
  }
  if (!options.only.empty() && tasks.empty())
    return one<std::vector<CutTask>>({options.input, 0, 0, "there is no [[cut]] '" + options.only + "' in this job",
                                      known.empty() ? "the id of a [[cut]]" : "one of: " + known, "name one of them"});
  if (tasks.empty() && read->job.cuts.empty()) {
    tasks.push_back(all_cloth(read->job));
    if (options.width.empty() && options.remnants.empty() && !tasks.front().order.parts.empty())
      return one<std::vector<CutTask>>({options.input, 0, 0, "this job does not say what its cloth is cut from",
                                        "a [[cut]] with roll_width, or --width",
                                        "add [[cut]] with id = \"cloth\" and roll_width = \"140 cm\""});
  }
  if (tasks.empty() || tasks.front().order.parts.empty())
    return one<std::vector<CutTask>>({options.input, 0, 0, "nothing of this job is cut from cloth or sheets",
                                      "a zone with treatment = \"fabric\" or cut_from, or a [[cut]] with parts",
                                      "give the zone that treatment, or lay out parts from a CSV"});
  return tasks;
}

std::optional<cutting::Leftover> remnant_of(const std::string& text, int number, std::vector<Problem>& problems) {
  cutting::Leftover remnant;
  remnant.id = "remnant " + std::to_string(number);
  if (text.ends_with(".svg") || text.ends_with(".csv")) {
    const auto file = text_of(text);
    const auto drawn =
        file ? outlines_of(text, *file) : Results<std::vector<cutting::Wanted>>(tl::unexpected(file.error()));
    if (!drawn) {
      problems.insert(problems.end(), drawn.error().begin(), drawn.error().end());
      return std::nullopt;
    }
    remnant.id = drawn->front().id;
    remnant.outline = drawn->front().outline;
    return remnant;
  }
  std::size_t x = text.find(" x "), wide = 3;
  if (x == std::string::npos) {
    x = text.find("×");
    wide = std::string("×").size();
  }
  if (x == std::string::npos) {
    x = text.find('x');
    wide = 1;
  }
  const auto width = cutting::micrometres(x == std::string::npos ? text : text.substr(0, x));
  const auto length = cutting::micrometres(x == std::string::npos ? "" : text.substr(x + wide));
  if (width && length && *width > 0 && *length > 0) {
    remnant.width = *width;
    remnant.length = *length;
    return remnant;
  }
  problems.push_back({"", 0, 0, "--remnant: '" + text + "' is no size",
                      "width and length, as \"60cm x 85cm\", or a file", "measure the remnant"});
  return std::nullopt;
}

void lay_over(const CutOptions& options, cutting::Order& order, std::vector<Problem>& problems) {
  const auto length = [&](const char* option, const std::string& text, Length& um) {
    if (text.empty()) return false;
    const auto value = cutting::micrometres(text);
    if (!value) {
      problems.push_back(about(option, value.error()));
      return false;
    }
    um = *value;
    return true;
  };
  cutting::Cloth& cloth = order.cloth;
  if (length("--width", options.width, cloth.roll_width) && options.sheet_length.empty()) order.sheet_length = 0;
  length("--sheet-length", options.sheet_length, order.sheet_length);
  length("--selvedge", options.selvedge, cloth.selvedge);
  length("--wrap", options.wrap, cloth.wrap);
  length("--seam", options.seam, cloth.seam);
  length("--gap", options.gap, cloth.gap);
  length("--repeat-x", options.repeat_x, cloth.repeat_x);
  length("--repeat-y", options.repeat_y, cloth.repeat_y);
  Length first = 0;
  if (length("--first-x", options.first_x, first)) cloth.first_x = first;
  if (length("--first-y", options.first_y, first)) cloth.first_y = first;
  if (options.turns) order.turn = cutting::Turn::quarter;
  if (options.grain) order.turn = cutting::Turn::half;
  if (options.guillotine) cloth.guillotine = true;
  if (options.not_centred) cloth.centred = false;
  if (options.outlines) order.outlines = true;
  if (options.join) order.join = true;
  if (order.sheet_length > 0) order.stuff = cutting::Stuff::sheet;
  if (options.turns && (cloth.repeat_x > 0 || cloth.repeat_y > 0))
    problems.push_back(
        {"", 0, 0, "patterned cloth cannot be turned", "turns or a repeat, not both", "leave the turns out"});
  if (options.remnants.empty()) return;
  order.remnants.clear();
  int number = 0;
  for (const std::string& text : options.remnants)
    if (auto remnant = remnant_of(text, ++number, problems)) order.remnants.push_back(std::move(*remnant));
}

}  // namespace

Results<std::vector<CutTask>> cut_tasks(const CutOptions& options, units::System& system, const Context& context) {
  system = options.units == "us" || (options.units.empty() && in_inches(options.width)) ? units::System::us
                                                                                        : units::System::metric;
  const bool job = options.input.ends_with(".toml");
  auto tasks = job ? tasks_of_job(options, system, context) : tasks_of_file(options);
  std::vector<Problem> problems;
  if (!tasks) problems = tasks.error();
  if (!tasks) tasks = std::vector<CutTask>(1);  // so that mistakes of the options are told as well
  for (CutTask& task : *tasks) lay_over(options, task.order, problems);
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return tasks;
}

}  // namespace tackcloth::cli
