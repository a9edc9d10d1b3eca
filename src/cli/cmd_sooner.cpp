// tackcloth sooner: what would bring a date forward.
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/plan_job.h"
#include "cli/sooner_json.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

struct SoonerCommand {
  std::string job;
  PlanArgs args;
  bool json = false;
};

void show(const plan::Helps& helps, const plan::Plan& base) {
  std::printf("As planned, and with nothing changed but every piece hurried alike:\n");
  for (std::size_t p = 0; p < base.pieces.size() && p < helps.hurried.size(); ++p)
    std::printf("  %s: %s%s, hurried %s\n", base.pieces[p].name.c_str(),
                to_iso(base.pieces[p].finish).substr(0, 16).c_str(), base.pieces[p].late ? " (LATE)" : "",
                to_iso(helps.hurried[p].finish_after).substr(0, 16).c_str());
  std::printf("\nWhat would bring them further forward, each change by itself, the best first (%d tried):\n",
              helps.tried);
  if (helps.best_first.empty()) std::printf("  Nothing that was tried gains an hour.\n");
  int rank = 0;
  for (const plan::Help& help : helps.best_first) {
    std::printf("%3d. %s\n", ++rank, help.what.c_str());
    for (const plan::PromiseMoved& moved : help.pieces) {
      const double hours = hours_between(moved.finish_after, moved.finish_before);
      for (const auto& piece : base.pieces)
        if (piece.id == moved.piece)
          std::printf("       %s: %s, %s %s\n", piece.name.c_str(), to_iso(moved.finish_after).substr(0, 16).c_str(),
                      units::format_hours(std::abs(hours)).c_str(), hours > 0 ? "sooner" : "later");
    }
    if (!help.heed.empty()) std::printf("       Mind: %s\n", help.heed.c_str());
  }
}

void run(SoonerCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  const bool tell = !command.json && isatty(2) != 0;
  const auto between = [tell](int done, int of) {
    if (tell) std::fprintf(stderr, "\rtrying change %d of %d ", done + 1, of);
    return true;
  };
  const auto helped = sooner_job(command.job, command.args, context, between);
  if (tell) std::fprintf(stderr, "\r\033[K");
  if (!helped) {
    context.exit_code = report(helped.error());
    return;
  }
  if (command.json)
    std::cout << to_json(helped->helps) << "\n";
  else
    show(helped->helps, helped->base);
}

}  // namespace

void add_sooner(CLI::App& app, Context& context) {
  auto command = std::make_shared<SoonerCommand>();
  CLI::App* sub = app.add_subcommand("sooner", "What would bring a date forward, tried one by one, the best first");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] { run(*command, context); });
}

}  // namespace tackcloth::cli
