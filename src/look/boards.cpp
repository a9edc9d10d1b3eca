#include <algorithm>
#include <atomic>
#include <nlohmann/json.hpp>
#include <thread>

#include "color/css.h"
#include "look/look.h"

namespace tackcloth::look {

namespace {

struct Made {
  std::optional<Board> board;
  std::vector<Problem> problems;
};

Made make(const job::Job& job, const std::string& piece, const std::string& id, const std::string& name,
          const plan::World& world, const color::Palette& palette, const plan::Options& options) {
  Made made;
  const auto changed = with_look(job, piece, id);
  if (!changed) {
    made.problems = {changed.error()};
    return made;
  }
  const auto plan = plan::make_plan(*changed, world, options);
  if (!plan) {
    made.problems = plan.error();
    for (Problem& problem : made.problems) problem.what = "look '" + name + "': " + problem.what;
    return made;
  }
  Board board;
  board.id = id;
  board.name = name;
  for (const job::PieceOrder& order : changed->pieces) {
    if (order.piece.id != piece) continue;
    board.chosen = !id.empty() && order.chosen_look == id;
    board.zones = colors_of(order.piece, *world.catalog, palette);
    board.pairs = pairs_of(order.piece, board.zones);
  }
  for (const plan::PlannedPiece& p : plan->pieces) {
    if (p.id != piece) continue;
    board.price = p.price;
    board.bench_hours = p.bench_hours;
    board.finish = p.finish;
    board.due = p.due;
    board.late = p.late;
    board.days = hours_between(plan->start, p.finish) / 24;
  }
  for (const catalog::Finding& finding : plan->findings) {
    if (finding.severity == catalog::Severity::must_not && (finding.piece.empty() || finding.piece == piece))
      board.must_not.push_back(finding);
  }
  made.board = std::move(board);
  return made;
}

}  // namespace

Results<std::vector<Board>> boards(const job::Job& job, const std::string& piece, const plan::World& world,
                                   const color::Palette& palette, const plan::Options& options, int threads,
                                   const std::function<bool(int, int)>& between) {
  const auto order =
      std::find_if(job.pieces.begin(), job.pieces.end(), [&](const auto& o) { return o.piece.id == piece; });
  if (order == job.pieces.end()) return tl::unexpected(std::vector<Problem>{with_look(job, piece, "").error()});
  std::vector<std::pair<std::string, std::string>> looks;
  if (order->looks.size() < job::kMostLooks) looks.emplace_back("", "As in the job file");
  for (const job::Look& look : order->looks) looks.emplace_back(look.id, look.name);
  plan::Options each = options;
  each.threads = 1;
  each.odds = false;
  std::vector<Made> made(looks.size());
  std::atomic<std::size_t> next{0};
  std::atomic<int> done{0};
  std::atomic<bool> stop{false};
  const auto work = [&](bool tells) {
    for (std::size_t k = next++; k < looks.size() && !stop; k = next++) {
      made[k] = make(job, piece, looks[k].first, looks[k].second, world, palette, each);
      ++done;
      if (tells && between && !between(done, static_cast<int>(looks.size()))) stop = true;
    }
  };
  std::vector<std::thread> crew;
  for (int t = 1; t < std::min<int>(threads, static_cast<int>(looks.size())); ++t) crew.emplace_back(work, false);
  work(true);
  for (std::thread& t : crew) t.join();
  std::vector<Board> out;
  std::vector<Problem> problems;
  for (Made& m : made) {
    if (m.board) out.push_back(std::move(*m.board));
    problems.insert(problems.end(), m.problems.begin(), m.problems.end());
  }
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return out;
}

std::string to_json(const std::vector<Board>& boards, const std::string& piece, const std::string& currency) {
  using nlohmann::ordered_json;
  ordered_json list = ordered_json::array();
  for (const Board& b : boards) {
    ordered_json zones = ordered_json::array(), pairs = ordered_json::array(), must_not = ordered_json::array();
    for (const ZoneColor& z : b.zones) {
      ordered_json zone{
          {"part", z.part}, {"zone", z.zone}, {"face", z.face}, {"treatment", z.treatment}, {"color", z.word}};
      zone["lab"] = z.lab ? ordered_json::array({z.lab->l, z.lab->a, z.lab->b}) : ordered_json();
      zone["hex"] = z.lab ? ordered_json(color::to_hex(*z.lab)) : ordered_json();
      zone["from"] = z.from;
      zones.push_back(std::move(zone));
    }
    for (const Pair& p : b.pairs)
      pairs.push_back({{"part", p.part},
                       {"zone", p.zone},
                       {"other", p.other},
                       {"de00", p.de00},
                       {"lightness", p.lightness},
                       {"chroma", p.chroma},
                       {"hue_deg", p.hue_deg}});
    for (const catalog::Finding& f : b.must_not) must_not.push_back(f.reason);
    list.push_back({{"id", b.id},
                    {"name", b.name},
                    {"price", to_text(b.price.total)},
                    {"currency", currency},
                    {"bench_hours", b.bench_hours},
                    {"days", b.days},
                    {"finish", to_iso(b.finish)},
                    {"due", b.due ? ordered_json(to_iso(*b.due)) : ordered_json()},
                    {"late", b.late},
                    {"chosen", b.chosen},
                    {"zones", std::move(zones)},
                    {"pairs", std::move(pairs)},
                    {"must_not", std::move(must_not)}});
  }
  return ordered_json{{"piece", piece}, {"looks", std::move(list)}}.dump(2, ' ', false,
                                                                         ordered_json::error_handler_t::replace);
}

}  // namespace tackcloth::look
