#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/paper.h"
#include "cli/plan_job.h"
#include "cli/plan_text.h"
#include "sheet/sheet.h"

namespace tackcloth::cli {

namespace fs = std::filesystem;

namespace {

struct PlanCommand {
  std::string job, out, paper = "a4", language;
  PlanArgs args;
  bool json = false;
};

// Every paper of the plan into one directory.
Result<std::vector<std::string>> write_papers(const plan::Plan& plan, const std::string& directory,
                                              const std::string& paper, const sheet::Tongue& tongue) {
  std::error_code error;
  fs::create_directories(directory, error);
  if (error)
    return tl::unexpected(Problem{directory, 0, 0, "cannot make this directory: " + error.message(),
                                  "a place that may be written to", "choose another --out"});
  const Instant now = wall_clock();
  auto pdf = sheet::job_sheet_pdf(plan, paper == "letter" ? sheet::Paper::letter : sheet::Paper::a4, now, tongue);
  if (!pdf) return tl::unexpected(pdf.error());
  const std::vector<std::pair<std::string, std::string>> files = {
      {"job-sheet.pdf", *pdf},
      {"calendar.ics", sheet::calendar_ics(plan, now, tongue)},
      {"shopping.csv", sheet::shopping_csv(plan)},
      {"plan.json", plan::to_json(plan) + "\n"},
  };
  std::vector<std::string> written;
  for (const auto& [name, bytes] : files) {
    const std::string path = (fs::path(directory) / name).string();
    if (auto done = sheet::write_file(path, bytes); !done) return tl::unexpected(done.error());
    written.push_back(path);
  }
  return written;
}

void run_plan(PlanCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  const auto plan = plan_job(command.job, command.args, context);
  if (!plan) {
    context.exit_code = report(plan.error());
    return;
  }
  if (!command.out.empty()) {
    const auto tongue = tongue_of(command.language, context);
    const auto written = tongue ? write_papers(*plan, command.out, command.paper, *tongue)
                                : Result<std::vector<std::string>>(tl::unexpected(tongue.error()));
    if (!written) {
      context.exit_code = report({written.error()});
      return;
    }
    for (const std::string& path : *written) std::cerr << "wrote " << path << "\n";
  }
  std::cout << (command.json ? plan::to_json(*plan) + "\n" : plan_text_for_bench(*plan));
  context.exit_code = plan->must_not() ? must_not : fine;
}

void run_check(PlanCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  const auto plan = plan_job(command.job, command.args, context);
  if (!plan) {
    context.exit_code = report(plan.error());
    return;
  }
  if (command.json) {
    const auto whole = nlohmann::ordered_json::parse(plan::to_json(*plan));
    std::cout << nlohmann::ordered_json{{"findings", whole.at("findings")}, {"must_not", plan->must_not()}}.dump(2)
              << "\n";
  } else {
    std::cout << findings_text(*plan);
  }
  context.exit_code = plan->must_not() ? must_not : fine;
}

}  // namespace

void add_plan(CLI::App& app, Context& context) {
  auto plan = std::make_shared<PlanCommand>();
  CLI::App* sub = app.add_subcommand("plan", "A job file in; dated steps, quantities, price and cautions out");
  sub->add_option("job", plan->job, "the job file (TOML)")->required();
  sub->add_option("--out", plan->out, "write job sheet, calendar, shopping list and plan.json into this directory");
  sub->add_option("--paper", plan->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, plan->language);
  sub->add_flag("--json", plan->json, "one JSON object instead of text");
  add_plan_options(*sub, plan->args);
  sub->callback([plan, &context] { run_plan(*plan, context); });

  auto check = std::make_shared<PlanCommand>();
  CLI::App* second =
      app.add_subcommand("check", "Every finding of a job with its reason and mend; exit 1 for a must-not");
  second->add_option("job", check->job, "the job file (TOML)")->required();
  second->add_flag("--json", check->json, "findings as JSON");
  add_plan_options(*second, check->args);
  second->callback([check, &context] { run_check(*check, context); });
}

}  // namespace tackcloth::cli
