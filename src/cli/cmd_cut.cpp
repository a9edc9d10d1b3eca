// cut: parts and cloth panels laid on remnants, a roll or sheets, with what to buy, drawn to scale.
#include <algorithm>
#include <chrono>
#include <iostream>
#include <memory>

#include "cli/cut_answer.h"
#include "cli/cut_command.h"
#include "cli/cut_order.h"
#include "cli/paper.h"

namespace tackcloth::cli {
namespace {

struct CutCommand {
  CutOptions what;
  std::string out, paper, language;
  double seconds = 2;
  std::uint64_t seed = 1;
  bool json = false;
};

std::string ending_of(const std::string& path) {
  const std::size_t dot = path.rfind('.');
  return dot == std::string::npos ? "" : path.substr(dot + 1);
}

std::string title_of(const CutTask& task, units::System system) {
  const auto say = [&](cutting::Length um) { return units::format_length(static_cast<double>(um) / 1000, system); };
  const std::string of = task.name.empty() ? "" : task.name + ": ";
  const cutting::Order& order = task.order;
  if (order.cloth.roll_width == 0) return of + "Cutting layout on remnants";
  if (order.sheet_length > 0)
    return of + "Cutting layout on sheets of " + say(order.cloth.roll_width) + " × " + say(order.sheet_length);
  return of + "Cutting layout on a roll of " + say(order.cloth.roll_width);
}

void run_cut(const CutCommand& command, Context& context) {
  units::System system = units::System::metric;
  auto tasks = cut_tasks(command.what, system, context);
  std::vector<Problem> problems;
  if (!tasks) problems = tasks.error();
  const std::string kind = ending_of(command.out);
  if (!command.out.empty() && kind != "pdf" && kind != "svg" && kind != "dxf" && kind != "csv")
    problems.push_back({"", 0, 0, "--out: '" + command.out + "' is of no kind that can be written",
                        "a name that ends in .pdf, .svg, .dxf or .csv", "give the file one of these endings"});
  if (tasks && tasks->size() > 1 && !command.out.empty())
    problems.push_back({"", 0, 0, "this job has several cuts, and one file is asked for", "--only with --out",
                        "add --only " + tasks->front().id + ", and run it again for the others"});
  const auto tongue = tongue_of(command.language, context);
  if (!tongue) problems.push_back(tongue.error());
  if (!problems.empty()) {
    context.exit_code = report(problems);
    return;
  }
  nlohmann::ordered_json all = nlohmann::ordered_json::array();
  bool first = true;
  for (const CutTask& task : *tasks) {
    cutting::Options options;
    options.seed = command.seed;
    options.max_seconds = command.seconds;
    options.max_layouts = std::int64_t{1} << 60;
    options.now_seconds = [] {
      return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
    };
    const auto answer = cutting::solve(task.order, system, options);
    if (!answer) {
      context.exit_code = report(answer.error());
      return;
    }
    const sheet::CutDrawing drawing = drawing_of(*answer, title_of(task, system), system);
    if (!command.out.empty()) {
      const auto bytes = file_of(*answer, drawing, kind, paper_of(command.paper, system), *tongue);
      const auto written = bytes ? sheet::write_file(command.out, *bytes) : Result<void>(tl::unexpected(bytes.error()));
      if (!written) {
        context.exit_code = report({written.error()});
        return;
      }
    }
    if (command.json) {
      all.push_back(cli::json_of(*answer, drawing));
      if (!task.id.empty()) all.back()["cut"] = task.id;
      continue;
    }
    if (!first) std::cout << "\n";
    first = false;
    if (!task.name.empty()) std::cout << drawing.title << "\n";
    for (const std::string& words : drawing.says) std::cout << words << "\n";
    std::cout << "\n";
    for (const std::string& words : drawing.list) std::cout << words << "\n";
    if (!command.out.empty()) std::cout << "\nWritten: " << command.out << "\n";
  }
  if (command.json) std::cout << (all.size() == 1 ? all[0] : nlohmann::ordered_json{{"cuts", all}}).dump(2) << "\n";
}

}  // namespace

void add_cut(CLI::App& app, Context& context) {
  auto command = std::make_shared<CutCommand>();
  CutOptions& what = command->what;
  CLI::App* sub = app.add_subcommand("cut", "Lay parts or cloth panels on remnants, a roll or sheets; what to buy");
  sub->add_option("input", what.input,
                  "a job file (.toml), a CSV with rows id,width,height[,quantity] or id,x,y[,rise][,hole], or an SVG")
      ->required();
  sub->add_option("--only", what.only, "the [[cut]] of the job with this id");
  sub->add_option("--width", what.width, "of the roll or sheet, 140cm or \"54 in\"; left out: as the job says");
  sub->add_option("--sheet-length", what.sheet_length, "new stuff comes in sheets as long as this");
  sub->add_option("--remnant", what.remnants,
                  "\"60cm x 85cm\", or .csv or .svg with one outline; several may be given");
  sub->add_option("--selvedge", what.selvedge, "on either side of the roll, not used");
  sub->add_option("--wrap", what.wrap, "added on each side of a part, round to the back");
  sub->add_option("--seam", what.seam, "added on each side of a part, beyond the wrap");
  sub->add_option("--gap", what.gap, "between parts: saw cut, or room for the shears");
  sub->add_option("--repeat-x", what.repeat_x, "of the pattern, across the roll");
  sub->add_option("--repeat-y", what.repeat_y, "of the pattern, along the roll");
  sub->add_option("--first-x", what.first_x, "left edge of the roll to the middle of the first motif");
  sub->add_option("--first-y", what.first_y, "cut end to the middle of the first motif");
  sub->add_flag("--not-centred", what.not_centred, "parts begin alike in the pattern, no motif in their middle");
  sub->add_flag("--turns", what.turns, "parts may be turned by 90°: no nap, grain or pattern");
  sub->add_flag("--grain", what.grain, "parts keep to the grain, either end up");
  sub->add_flag("--guillotine", what.guillotine, "every cut goes from edge to edge");
  sub->add_flag("--outlines", what.outlines, "parts are cut along their outlines, not in rectangles");
  sub->add_flag("--join", what.join, "parts wider than the roll are joined from several widths");
  sub->add_option("--seconds", command->seconds, "to look for a better layout")->check(CLI::Range(0.05, 3600.0));
  sub->add_option("--seed", command->seed, "of the search");
  sub->add_option("--units", what.units, "metric or us; left out: as the width is given, or the shop's")
      ->check(CLI::IsMember({"metric", "us"}));
  sub->add_option("--paper", command->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_option("-o,--out", command->out, "drawing: .pdf to scale, .svg or .dxf full size, .csv the places in µm");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { run_cut(*command, context); });
}

}  // namespace tackcloth::cli
