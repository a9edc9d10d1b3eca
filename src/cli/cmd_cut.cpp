// cut: parts and cloth panels laid on a roll, with the length to buy, drawn to scale.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/arguments.h"
#include "cli/clock.h"
#include "cli/cut_command.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "cutting/check.h"
#include "cutting/cloth.h"
#include "cutting/parts_csv.h"
#include "sheet/cut_sheet.h"

namespace tackcloth::cli {
namespace {

using cutting::Length;

struct CutCommand {
  std::string input, out, units, paper;
  std::string width, selvedge, wrap, seam, gap, repeat_x, repeat_y, first_x, first_y;
  double seconds = 2;
  std::uint64_t seed = 1;
  bool turns = false, guillotine = false, not_centred = false, json = false;
};

// Panels of cloth of the job: the outline box of every zone that gets fabric.
Results<std::vector<cutting::Panel>> panels_of_job(const std::string& path, const Context& context,
                                                   units::System& system, bool system_given) {
  const auto read = job_of_file(path, context);
  if (!read) return tl::unexpected(read.error());
  if (!system_given) system = read->job.shop.system;
  std::vector<cutting::Panel> panels;
  for (const job::PieceOrder& wish : read->job.pieces)
    for (const piece::Part& part : wish.piece.parts)
      for (const piece::Zone& zone : part.zones) {
        if (zone.treatment != piece::Treatment::fabric) continue;
        const shape::Box box = shape::bounds(zone.region);
        cutting::Panel panel;
        panel.id = wish.piece.id + "/" + part.id + "/" + zone.id;
        panel.width = std::llround(box.width() * 1000);
        panel.height = std::llround(box.height() * 1000);
        panel.quantity = part.count;
        panels.push_back(panel);
      }
  if (panels.empty())
    return tl::unexpected(
        std::vector<Problem>{{path, 0, 0, "no zone of this job gets cloth", "a zone with treatment = \"fabric\"",
                              "give the zone that treatment, or lay out parts from a CSV"}});
  return panels;
}

Results<std::vector<cutting::Panel>> panels_of_csv(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  if (!file)
    return tl::unexpected(
        std::vector<Problem>{{path, 0, 0, "the file cannot be read",
                              "a CSV with rows id,width,height[,quantity], or a job file", "check its name"}});
  const auto parts = cutting::parts_from_csv(text.str(), path, false, cutting::micrometres);
  if (!parts) return tl::unexpected(parts.error());
  std::vector<cutting::Panel> panels;
  for (const cutting::Part& part : *parts) panels.push_back({part.id, part.width, part.height, part.quantity});
  return panels;
}

bool in_inches(const std::string& text) {
  return text.find("in") != std::string::npos || text.find("ft") != std::string::npos ||
         text.find_first_of("\"'") != std::string::npos || text.find("yd") != std::string::npos;
}

Results<cutting::Cloth> cloth_of(const CutCommand& command) {
  cutting::Cloth cloth;
  std::vector<Problem> problems;
  const auto length = [&](const char* option, const std::string& text, Length& um) {
    if (text.empty()) return;
    const auto value = cutting::micrometres(text);
    if (value) {
      um = *value;
    } else {
      problems.push_back(about(option, value.error()));
    }
  };
  length("--width", command.width, cloth.roll_width);
  length("--selvedge", command.selvedge, cloth.selvedge);
  length("--wrap", command.wrap, cloth.wrap);
  length("--seam", command.seam, cloth.seam);
  length("--gap", command.gap, cloth.gap);
  length("--repeat-x", command.repeat_x, cloth.repeat_x);
  length("--repeat-y", command.repeat_y, cloth.repeat_y);
  Length first = 0;
  if (!command.first_x.empty()) {
    length("--first-x", command.first_x, first);
    cloth.first_x = first;
  }
  if (!command.first_y.empty()) {
    length("--first-y", command.first_y, first);
    cloth.first_y = first;
  }
  cloth.may_turn = command.turns;
  cloth.guillotine = command.guillotine;
  cloth.centred = !command.not_centred;
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return cloth;
}

std::string say(double um, units::System system) { return units::format_length(um / 1000, system); }

// What the sheet and the screen say first.
std::vector<std::string> words_of(const cutting::Cut& cut, units::System system) {
  const cutting::Outcome& o = cut.outcome;
  const bool us = system == units::System::us;
  std::vector<std::string> words;
  const std::string metres = cutting::metres_text(cut.tenths_m), yards = cutting::yards_text(cut.eighths_yd);
  words.push_back("Buy " + (us ? yards + " (" + metres + ")" : metres + " (" + yards + ")") + ".");
  words.push_back("The parts take " + say(static_cast<double>(o.layout.height), system) +
                  (cut.spare > 0 ? " and the pattern " + say(static_cast<double>(cut.spare), system) + " more" : "") +
                  ".");
  if (o.proven) {
    words.push_back("No layout is shorter: proven.");
  } else {
    words.push_back(fmt::format("No layout is shorter than {}: this one is at most {:.1f} % longer.",
                                say(static_cast<double>(o.lower_bound), system),
                                100.0 * static_cast<double>(o.layout.height - o.lower_bound) /
                                    static_cast<double>(std::max<Length>(1, o.lower_bound))));
  }
  words.insert(words.end(), cut.notes.begin(), cut.notes.end());
  return words;
}

sheet::CutDrawing drawing_of(const cutting::Cut& cut, const cutting::Cloth& cloth, const std::string& title,
                             units::System system) {
  sheet::CutDrawing drawing;
  drawing.title = title;
  drawing.says = words_of(cut, system);
  drawing.system = system;
  drawing.width = static_cast<double>(cloth.roll_width) / 1000;
  drawing.height = static_cast<double>(cut.outcome.layout.height) / 1000;
  int number = 0;
  for (const cutting::Place& p : cut.outcome.layout.places) {
    const cutting::Part& part = cut.parts[static_cast<std::size_t>(p.part)];
    const std::string label = part.id + (part.quantity > 1 ? " " + std::to_string(p.copy + 1) : "");
    const Length x = p.x + cloth.selvedge;
    drawing.parts.push_back({label, static_cast<double>(x) / 1000, static_cast<double>(p.y) / 1000,
                             static_cast<double>(p.width) / 1000, static_cast<double>(p.height) / 1000, p.turned});
    drawing.list.push_back(fmt::format("{}  {}: cut {} × {}, {} from the left edge, {} from the cut end{}", ++number,
                                       label, say(static_cast<double>(p.width), system),
                                       say(static_cast<double>(p.height), system), say(static_cast<double>(x), system),
                                       say(static_cast<double>(p.y), system), p.turned ? ", turned" : ""));
  }
  return drawing;
}

Result<void> write_out(const CutCommand& command, const cutting::Cut& cut, const sheet::CutDrawing& drawing,
                       units::System system) {
  if (command.out.empty()) return {};
  if (command.out.ends_with(".svg")) return sheet::write_file(command.out, sheet::cut_svg(drawing));
  if (command.out.ends_with(".dxf")) return sheet::write_file(command.out, sheet::cut_dxf(drawing));
  if (command.out.ends_with(".csv"))
    return sheet::write_file(command.out, cutting::places_csv(cut.parts, cut.outcome.layout));
  const auto pdf = sheet::cut_pdf(drawing, paper_of(command.paper, system), wall_clock());
  if (!pdf) return tl::unexpected(pdf.error());
  return sheet::write_file(command.out, pdf->pdf);
}

nlohmann::ordered_json json_of(const cutting::Cut& cut, const sheet::CutDrawing& drawing) {
  const auto mm = [](Length um) { return static_cast<double>(um) / 1000; };
  nlohmann::ordered_json places = nlohmann::ordered_json::array();
  for (std::size_t i = 0; i < drawing.parts.size(); ++i) {
    const cutting::Place& p = cut.outcome.layout.places[i];
    const sheet::CutPart& at = drawing.parts[i];
    places.push_back({{"id", cut.parts[static_cast<std::size_t>(p.part)].id},
                      {"copy", p.copy + 1},
                      {"x_mm", at.x},
                      {"y_mm", at.y},
                      {"width_mm", at.width},
                      {"height_mm", at.height},
                      {"turned", p.turned}});
  }
  return {{"height_mm", mm(cut.outcome.layout.height)},
          {"lower_bound_mm", mm(cut.outcome.lower_bound)},
          {"proven", cut.outcome.proven},
          {"spare_mm", mm(cut.spare)},
          {"length_mm", mm(cut.length)},
          {"buy_m", cut.tenths_m / 10.0},
          {"buy_yd", cut.eighths_yd / 8.0},
          {"places", places},
          {"notes", cut.notes}};
}

void run_cut(const CutCommand& command, Context& context) {
  const bool is_job = command.input.ends_with(".toml");
  units::System system = command.units == "us" || (command.units.empty() && in_inches(command.width))
                             ? units::System::us
                             : units::System::metric;
  const auto panels =
      is_job ? panels_of_job(command.input, context, system, !command.units.empty()) : panels_of_csv(command.input);
  const auto cloth = cloth_of(command);
  std::vector<Problem> problems;
  if (!panels) problems = panels.error();
  if (!cloth) problems.insert(problems.end(), cloth.error().begin(), cloth.error().end());
  const bool known_end = command.out.empty() || command.out.ends_with(".pdf") || command.out.ends_with(".svg") ||
                         command.out.ends_with(".dxf") || command.out.ends_with(".csv");
  if (!known_end)
    problems.push_back({"", 0, 0, "--out: '" + command.out + "' is of no kind that can be written",
                        "a name that ends in .pdf, .svg, .dxf or .csv", "give the file one of these endings"});
  if (!problems.empty()) {
    context.exit_code = report(problems);
    return;
  }
  cutting::Options options;
  options.seed = command.seed;
  options.max_seconds = command.seconds;
  options.max_layouts = std::int64_t{1} << 60;
  options.now_seconds = [] {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
  };
  const auto cut = cutting::cut_cloth(*panels, *cloth, system, options);
  if (!cut) {
    context.exit_code = report(cut.error());
    return;
  }
  if (const auto wrong = cutting::faults(cut->parts, cut->strip, cut->outcome.layout); !wrong.empty()) {
    std::cerr << "tackcloth: the layout did not pass its check: " << wrong.front() << "\n";
    context.exit_code = internal;
    return;
  }
  const sheet::CutDrawing drawing = drawing_of(
      *cut, *cloth, "Cutting layout on a roll of " + say(static_cast<double>(cloth->roll_width), system), system);
  if (const auto written = write_out(command, *cut, drawing, system); !written) {
    context.exit_code = report({written.error()});
    return;
  }
  if (command.json) {
    std::cout << json_of(*cut, drawing).dump(2) << "\n";
    return;
  }
  for (const std::string& words : drawing.says) std::cout << words << "\n";
  std::cout << "\n";
  for (const std::string& words : drawing.list) std::cout << words << "\n";
  if (!command.out.empty()) std::cout << "\nWritten: " << command.out << "\n";
}

}  // namespace

void add_cut(CLI::App& app, Context& context) {
  auto command = std::make_shared<CutCommand>();
  CLI::App* sub = app.add_subcommand("cut", "Lay parts or cloth panels on a roll, with the length to buy");
  sub->add_option("input", command->input, "CSV with rows id,width,height[,quantity], or a job file (.toml)")
      ->required();
  sub->add_option("--width", command->width, "of the roll, 140cm or \"54 in\"")->required();
  sub->add_option("--selvedge", command->selvedge, "on either side of the roll, not used");
  sub->add_option("--wrap", command->wrap, "added on each side of a part, round to the back");
  sub->add_option("--seam", command->seam, "added on each side of a part, beyond the wrap");
  sub->add_option("--gap", command->gap, "between parts: saw cut, or room for the shears");
  sub->add_option("--repeat-x", command->repeat_x, "of the pattern, across the roll");
  sub->add_option("--repeat-y", command->repeat_y, "of the pattern, along the roll");
  sub->add_option("--first-x", command->first_x, "left edge of the roll to the middle of the first motif");
  sub->add_option("--first-y", command->first_y, "cut end to the middle of the first motif");
  sub->add_flag("--not-centred", command->not_centred, "parts begin alike in the pattern, no motif in their middle");
  sub->add_flag("--turns", command->turns, "parts may be turned by 90°: no nap, grain or pattern");
  sub->add_flag("--guillotine", command->guillotine, "every cut goes from edge to edge");
  sub->add_option("--seconds", command->seconds, "to look for a shorter layout")->check(CLI::Range(0.05, 3600.0));
  sub->add_option("--seed", command->seed, "of the search");
  sub->add_option("--units", command->units, "metric or us; left out: as the width is given, or the shop's")
      ->check(CLI::IsMember({"metric", "us"}));
  sub->add_option("--paper", command->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
  sub->add_option("-o,--out", command->out, "drawing: .pdf to scale, .svg or .dxf full size, .csv the places in µm");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { run_cut(*command, context); });
}

}  // namespace tackcloth::cli
