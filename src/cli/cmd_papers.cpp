// papers: everything that is printed for a piece, into one directory.
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/command.h"
#include "cli/offer_of.h"
#include "cli/paper.h"
#include "cli/plan_job.h"
#include "cli/problems.h"
#include "picture/photo.h"
#include "sheet/papers.h"

namespace tackcloth::cli {
namespace {

namespace fs = std::filesystem;

struct PapersCommand {
  std::string job, piece, out, paper, language, valid_until, before = "before", after = "after";
  OfferArgs offer;
  PlanArgs args;
  bool json = false;
};

// The photo with this id; why there is none goes to `note`.
picture::Image photo_of(const job::Job& job, const job::PieceOrder& order, const std::string& id, std::string& note) {
  for (const job::Photo& photo : order.photos) {
    if (photo.id != id) continue;
    if (photo.file.starts_with("stored:")) {
      note = "photo '" + id + "' is in the store, not beside the job file";
      return {};
    }
    auto loaded = picture::load(fs::path(job.file).parent_path() / photo.file);
    if (loaded) return std::move(loaded->image);
    note = to_text(loaded.error());
    return {};
  }
  note = "there is no photo '" + id + "'";
  return {};
}

Results<void> papers(PapersCommand& command, Context& context) {
  sheet::PapersAsked asked;
  asked.date = wall_clock();
  if (!command.valid_until.empty()) {
    const auto until = parse_instant(command.valid_until);
    if (!until) return one(until.error());
    asked.valid_until = *until;
  }
  auto tongue = tongue_of(command.language, context);
  if (!tongue) return one(tongue.error());
  asked.tongue = std::move(*tongue);
  command.args.asked_at = to_iso(asked.date);
  const auto planned = planned_job(command.job, command.args, context);
  if (!planned) return tl::unexpected(planned.error());
  const auto pieces = pieces_asked(*planned, command.piece);
  if (!pieces) return one(pieces.error());
  asked.paper = paper_of(command.paper, planned->job.shop.system);
  nlohmann::ordered_json written = nlohmann::ordered_json::array();
  for (const std::size_t p : *pieces) {
    const job::PieceOrder& order = planned->job.pieces[p];
    const auto offer = offer_of(planned->job, planned->plan, p, command.offer);
    if (!offer) return one(offer.error());
    std::string note;
    asked.before = photo_of(planned->job, order, command.before, note);
    asked.after = note.empty() ? photo_of(planned->job, order, command.after, note) : picture::Image{};
    const auto files = sheet::papers_of(planned->job, planned->plan, p, *offer, *planned->loaded->catalog, asked);
    if (!files) return one(files.error());
    const fs::path directory = command.piece.empty() ? fs::path(command.out) / order.piece.id : fs::path(command.out);
    std::error_code error;
    fs::create_directories(directory, error);
    if (error)
      return one(problem_of("cannot make the directory " + directory.string() + ": " + error.message(),
                            "a place that may be written to", "choose another --out"));
    for (const sheet::PaperFile& file : *files) {
      const std::string path = (directory / file.name).string();
      if (const auto done = sheet::write_file(path, file.bytes); !done) return one(done.error());
      written.push_back(path);
      if (!command.json) std::cout << path << "\n";
    }
    if (!note.empty() && !command.json) std::cout << "no portfolio page for " << order.piece.id << ": " << note << "\n";
  }
  if (command.json) std::cout << nlohmann::ordered_json{{"written", written}}.dump(2) << "\n";
  context.exit_code = planned->plan.must_not() ? must_not : fine;
  return {};
}

}  // namespace

void add_papers(CLI::App& app, Context& context) {
  auto command = std::make_shared<PapersCommand>();
  CLI::App* sub = app.add_subcommand(
      "papers", "All papers of a piece: job sheet, quote, care card, safety sheet, templates, portfolio page");
  sub->add_option("job", command->job, "the job file (TOML)")->required();
  sub->add_option("--piece", command->piece, "id of the piece; left out: all, each in a directory of its own");
  sub->add_option("-o,--out", command->out, "the directory")->required();
  sub->add_option("--paper", command->paper, "a4 or letter; left out: as the shop measures")
      ->check(CLI::IsMember({"a4", "letter"}));
  add_language_option(*sub, command->language);
  sub->add_option("--valid-until", command->valid_until, "last day of the quote, 2027-05-01");
  sub->add_option("--before", command->before, "id of the photo before the work");
  sub->add_option("--after", command->after, "id of the photo after it");
  add_offer_options(*sub, command->offer);
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] {
    if (const auto done = papers(*command, context); !done) context.exit_code = report(done.error());
  });
}

}  // namespace tackcloth::cli
