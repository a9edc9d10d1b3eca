// tackcloth boards: looks of a piece side by side.
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/look_pages.h"
#include "cli/paper.h"
#include "cli/plan_job.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

struct BoardsCommand {
  std::string job, piece, out, paper = "a4", language;
  PlanArgs args;
  bool json = false;
};

// The only piece with looks, when there is just one.
Result<std::string> piece_of(const std::string& toml, const BoardsCommand& command, const Context& context) {
  if (!command.piece.empty()) return command.piece;
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return tl::unexpected(catalog.error().front());
  const auto job = job::parse_job(toml, command.job, *catalog);
  if (!job) return tl::unexpected(job.error().front());
  std::string found, all;
  for (const auto& order : job->pieces) {
    all += (all.empty() ? "" : ", ") + order.piece.id;
    if (order.looks.empty()) continue;
    if (!found.empty())
      return tl::unexpected(
          Problem{command.job, 0, 0, "several pieces have looks", "one piece", "name it with --piece"});
    found = order.piece.id;
  }
  if (found.empty())
    return tl::unexpected(Problem{command.job, 0, 0, "no piece has looks to compare", "[[piece.look]] in the job file",
                                  "add one, or name a piece with --piece: " + all});
  return found;
}

void show(const Compared& compared, const std::string& currency) {
  char letter = 'A';
  for (const look::Board& b : compared.boards) {
    std::printf("%c  %s%s\n", letter++, b.name.c_str(), b.chosen ? " (chosen by the owner)" : "");
    std::printf("   %.0f days, done %s%s; %.1f bench hours; %s %s\n", std::ceil(b.days),
                to_iso(b.finish).substr(0, 10).c_str(), b.late ? " (AFTER THE PROMISED DAY)" : "", b.bench_hours,
                to_text(b.price.total).c_str(), currency.c_str());
    for (const look::ZoneColor& z : b.zones) {
      if (z.lab)
        std::printf("   %s/%s: %s, L* %.0f a* %.0f b* %.0f%s\n", z.part.c_str(), z.zone.c_str(), z.treatment.c_str(),
                    z.lab->l, z.lab->a, z.lab->b, z.from == "wood" ? " (its species under the clear: a model)" : "");
    }
    for (const look::Pair& p : b.pairs)
      std::printf("   %s against %s: difference %.1f (CIEDE2000), lightness %+.0f, chroma %+.0f, hue %+.0f degrees\n",
                  p.zone.c_str(), p.other.c_str(), p.de00, p.lightness, p.chroma, p.hue_deg);
    for (const auto& finding : b.must_not) std::printf("   MUST NOT: %s\n", finding.reason.c_str());
  }
  for (const std::string& note : compared.notes) std::printf("%s\n", note.c_str());
}

void run(BoardsCommand& command, Context& context) {
  command.args.asked_at = to_iso(wall_clock());
  std::ifstream in(command.job, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) {
    context.exit_code = report({{command.job, 0, 0, "the job file cannot be read", "a TOML file", "check the path"}});
    return;
  }
  const auto piece = piece_of(text.str(), command, context);
  if (!piece) {
    context.exit_code = report({piece.error()});
    return;
  }
  const bool tell = !command.json && isatty(2) != 0;
  const auto between = [tell](int done, int of) {
    if (tell) std::fprintf(stderr, "\rlook %d of %d ", done, of);
    return true;
  };
  const auto compared = boards_text(text.str(), command.job, *piece, command.args, {}, context, 1280, between);
  if (tell) std::fprintf(stderr, "\r\033[K");
  if (!compared) {
    context.exit_code = report(compared.error());
    return;
  }
  const std::string& currency = compared->job.shop.currency;
  if (!command.out.empty()) {
    const auto tongue = tongue_of(command.language, context);
    if (!tongue) {
      context.exit_code = report({tongue.error()});
      return;
    }
    const auto bytes =
        boards_sheet_of(*compared, *piece, command.paper == "letter" ? sheet::Paper::letter : sheet::Paper::a4,
                        command.out.ends_with(".pdf") ? sheet::Sheet::pdf : sheet::Sheet::png, wall_clock(), *tongue);
    if (!bytes) {
      context.exit_code = report({bytes.error()});
      return;
    }
    if (const auto written = sheet::write_file(command.out, *bytes); !written) {
      context.exit_code = report({written.error()});
      return;
    }
  }
  if (command.json) {
    auto json = nlohmann::ordered_json::parse(look::to_json(compared->boards, *piece, currency));
    json["notes"] = compared->notes;
    if (!command.out.empty()) json["sheet"] = command.out;
    std::cout << json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << "\n";
  } else {
    show(*compared, currency);
    if (!command.out.empty()) std::printf("The sheet is %s\n", command.out.c_str());
  }
  for (const look::Board& board : compared->boards) {
    if (!board.must_not.empty()) context.exit_code = must_not;
  }
}

}  // namespace

void add_boards(CLI::App& app, Context& context) {
  auto command = std::make_shared<BoardsCommand>();
  CLI::App* sub = app.add_subcommand("boards", "Looks of a piece side by side, with cost, days and bench hours");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_option("--piece", command->piece, "the piece, when several have looks");
  sub->add_option("-o,--out", command->out, "write the sheet: FILE.png or FILE.pdf")
      ->check([](const std::string& path) {
        return path.ends_with(".png") || path.ends_with(".pdf") ? std::string()
                                                                : std::string("a name ending in .png or .pdf");
      });
  sub->add_option("--paper", command->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] { run(*command, context); });
}

}  // namespace tackcloth::cli
