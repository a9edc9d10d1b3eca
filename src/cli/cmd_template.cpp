// template: one zone of a part at full size, as pages to print, join and cut.
#include <fmt/format.h>

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/clock.h"
#include "cli/command.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "shape/stencil.h"
#include "sheet/outline_files.h"
#include "sheet/stencil_sheet.h"
#include "sheet/template.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

struct TemplateCommand {
  std::string job, zone, file, paper, language, bridge;
  bool json = false, stencil = false;
};

// For those who cut or plot by machine: the outline alone, in one piece.
void write_outline(const TemplateCommand& command, const sheet::ZoneTemplate& zone, Context& context) {
  const std::string bytes = command.file.ends_with(".svg") ? sheet::outline_svg(zone) : sheet::outline_dxf(zone);
  if (const auto written = sheet::write_file(command.file, bytes); !written) {
    context.exit_code = report({written.error()});
    return;
  }
  if (command.json) {
    std::cout << nlohmann::ordered_json{{"zone", command.zone},    {"file", command.file}, {"area_m2", zone.area_m2},
                                        {"tape_mm", zone.tape_mm}, {"count", zone.count},  {"unit", "mm"}}
                     .dump(2)
              << "\n";
    return;
  }
  std::cout << fmt::format("{}: {}, {}: {} at full size, one unit a millimetre\n", command.file, zone.piece, zone.part,
                           zone.zone);
}

void run_template(const TemplateCommand& command, Context& context) {
  const auto read = job_of_file(command.job, context);
  if (!read) {
    context.exit_code = report(read.error());
    return;
  }
  const job::Job& job = read->job;
  auto zone = sheet::zone_template(job, command.zone);
  if (zone && command.stencil) {
    const auto bridge =
        command.bridge.empty() ? Result<double>(shape::kUsualBridgeMm) : units::parse_length_mm(command.bridge);
    if (!bridge) {
      context.exit_code = report({about("--bridge", bridge.error())});
      return;
    }
    zone = sheet::as_stencil(std::move(*zone), *bridge);
  }
  if (!zone) {
    context.exit_code = report({zone.error()});
    return;
  }
  if (command.file.ends_with(".svg") || command.file.ends_with(".dxf")) {
    write_outline(command, *zone, context);
    return;
  }
  const sheet::Paper sheet_size = paper_of(command.paper, zone->system);
  const std::string paper = sheet_size == sheet::Paper::letter ? "letter" : "a4";
  const auto tongue = tongue_of(command.language, context);
  const auto pages = tongue ? sheet::template_pdf(*zone, sheet_size, wall_clock(), *tongue)
                            : Result<sheet::TemplatePages>(tl::unexpected(tongue.error()));
  if (!pages) {
    context.exit_code = report({pages.error()});
    return;
  }
  std::string file = command.file;
  if (file.empty()) {
    file = command.zone + ".pdf";
    for (char& c : file)
      if (c == '/') c = '-';
  }
  if (const auto written = sheet::write_file(file, pages->pdf); !written) {
    context.exit_code = report({written.error()});
    return;
  }
  if (command.json) {
    std::cout << nlohmann::ordered_json{{"zone", command.zone},
                                        {"file", file},
                                        {"paper", paper},
                                        {"landscape", pages->landscape},
                                        {"pages", pages->pages},
                                        {"rows", pages->rows},
                                        {"columns", pages->columns},
                                        {"area_m2", zone->area_m2},
                                        {"tape_mm", zone->tape_mm},
                                        {"count", zone->count},
                                        {"width_mm", pages->width_mm},
                                        {"height_mm", pages->height_mm}}
                     .dump(2)
              << "\n";
    return;
  }
  const auto length = [&](double mm) { return units::format_length(mm, zone->system); };
  std::cout << fmt::format("{}, {}: {}, {} x {}, {}, tape {}{}\n", zone->piece, zone->part, zone->zone,
                           length(pages->width_mm), length(pages->height_mm),
                           units::format_area(zone->area_m2, zone->system), length(zone->tape_mm),
                           zone->count > 1 ? fmt::format(", for each of {}", zone->count) : "");
  std::cout << fmt::format("{}: {} {} in {} {} of {}{}\n", file, pages->pages, pages->pages == 1 ? "sheet" : "sheets",
                           pages->rows, pages->rows == 1 ? "row" : "rows", paper == "a4" ? "A4" : "Letter",
                           pages->landscape ? ", on its side" : "");
  std::cout << "Print at 100 %, and measure the check rule before cutting.\n";
}

}  // namespace

void add_template(CLI::App& app, Context& context) {
  auto command = std::make_shared<TemplateCommand>();
  CLI::App* sub = app.add_subcommand("template", "One zone at full size: pages to print, join and cut");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_option("--zone", command->zone, "which zone: PIECE/PART/ZONE, the ids of the job file")->required();
  sub->add_option("-o,--out", command->file,
                  "the PDF, or the outline alone as .svg or .dxf for a machine; left out: PIECE-PART-ZONE.pdf");
  sub->add_option("--paper", command->paper, "a4 or letter; left out: as the shop measures")
      ->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_flag("--stencil", command->stencil, "what would fall out of the middle is held by bridges");
  sub->add_option("--bridge", command->bridge, "width of the bridges, 4mm; left out: 4 mm");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { run_template(*command, context); });
}

}  // namespace tackcloth::cli
