// labels: bags and cables of a piece that is taken apart, with codes that open them on the page.
#include <iostream>
#include <memory>

#include "cli/apart_page.h"
#include "cli/clock.h"
#include "cli/command.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "sheet/sheet.h"

namespace tackcloth::cli {
namespace {

struct LabelsCommand {
  std::string job, piece, file, paper, language, address = "http://127.0.0.1:8420/";
  int spare = 12;
};

void run_labels(const LabelsCommand& command, Context& context) {
  const auto read = job_of_file(command.job, context);
  if (!read) {
    context.exit_code = report(read.error());
    return;
  }
  const job::Job& job = read->job;
  const auto labels = labels_of(job, command.piece, command.address, command.spare);
  const auto tongue = tongue_of(command.language, context);
  if (!tongue) {
    context.exit_code = report({tongue.error()});
    return;
  }
  if (!labels) {
    context.exit_code = report({labels.error()});
    return;
  }
  const auto pdf = sheet::labels_pdf(*labels, paper_of(command.paper, job.shop.system), wall_clock(), *tongue);
  if (!pdf) {
    context.exit_code = report({pdf.error()});
    return;
  }
  const std::string file = command.file.empty() ? command.piece + "-labels.pdf" : command.file;
  if (const auto written = sheet::write_file(file, *pdf); !written) {
    context.exit_code = report({written.error()});
    return;
  }
  std::cout << file << ": " << labels->labels.size() << " labels\n";
}

}  // namespace

void add_labels(CLI::App& app, Context& context) {
  auto command = std::make_shared<LabelsCommand>();
  CLI::App* sub = app.add_subcommand("labels", "Labels for the bags and cables of a piece that is taken apart");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_option("--piece", command->piece, "which piece: its id in the job file")->required();
  sub->add_option("-o,--out", command->file, "the PDF; left out: PIECE-labels.pdf");
  sub->add_option("--paper", command->paper, "a4 or letter; left out: as the shop measures")
      ->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_option("--spare", command->spare, "bags (and cables) to come")->check(CLI::Range(0, 60));
  sub->add_option("--address", command->address, "where the telephone opens the page");
  sub->callback([command, &context] { run_labels(*command, context); });
}

}  // namespace tackcloth::cli
