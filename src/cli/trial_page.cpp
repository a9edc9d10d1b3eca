#include "cli/trial_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

namespace tackcloth::cli {

namespace {

using nlohmann::json;
using nlohmann::ordered_json;

constexpr std::size_t kMostKept = 64;

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

// FNV-1a, 64 bits: the same change has the same name, so that asking twice works it out once.
std::string name_of(const std::string& text) {
  std::uint64_t hash = 14695981039346656037ull;
  for (const char c : text) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 1099511628211ull;
  }
  return fmt::format("{:016x}", hash);
}

Result<plan::Plan> planned(const std::string& toml, const Standing& standing, const std::string& now,
                           const Context& context) {
  PlanArgs args = standing.args;
  const bool on_page = set_up_on_page(standing.name);
  if (on_page) args.not_before = now;
  auto plan = plan_text(toml, standing.name, args, standing.log, context,
                        on_page ? job::Pieces::may_be_none : job::Pieces::needed);
  if (!plan) return tl::unexpected(plan.error().front());
  return std::move(*plan);
}

ordered_json numbers_of(const plan::PlannedPiece& piece) {
  ordered_json out = {{"finish", to_iso(piece.finish)}, {"late", piece.late}};
  out["odds"] = piece.odds ? ordered_json(*piece.odds) : ordered_json();
  out["promise_90"] = piece.promise_90 ? ordered_json(to_iso(*piece.promise_90)) : ordered_json();
  out["total"] = to_text(piece.price.total);
  out["hours"] = piece.bench_hours;
  return out;
}

// Those of `from` that `against` has not.
ordered_json findings_only_in(const plan::Plan& from, const plan::Plan& against) {
  ordered_json list = ordered_json::array();
  for (const catalog::Finding& one : from.findings) {
    const bool there = std::any_of(against.findings.begin(), against.findings.end(), [&](const catalog::Finding& f) {
      return f.rule == one.rule && f.piece == one.piece && f.zone == one.zone && f.reason == one.reason;
    });
    if (!there)
      list.push_back({{"rule", one.rule},
                      {"severity", catalog::to_text(one.severity)},
                      {"reason", one.reason},
                      {"mend", one.mend},
                      {"source", one.source},
                      {"piece", one.piece},
                      {"zone", one.zone}});
  }
  return list;
}

}  // namespace

Result<std::string> Trials::keep(ledger::Ledger& ledger, const std::string& body, const std::string& now,
                                 const Context& context) {
  const json read = json::parse(body, nullptr, false);
  if (!read.is_object() || read.size() != 1 || !read.contains("change") || !read["change"].is_object())
    return wrong("the body is not {change}", "a change as for POST /api/job", "send one");
  const std::string change = read["change"].dump(-1, ' ', false, json::error_handler_t::replace);
  const std::string name = name_of(change);
  if (const auto held = accepts(ledger, {0, "trial-" + name, now, change}, context); !held)
    return tl::unexpected(held.error());
  {
    const std::lock_guard lock(mutex_);
    std::erase_if(kept_, [&](const auto& one) { return one.first == name; });
    kept_.emplace_back(name, change);
    if (kept_.size() > kMostKept) kept_.pop_front();
  }
  return json{{"trial", name}}.dump();
}

Result<std::string> Trials::answer(ledger::Ledger& ledger, const std::string& name, const std::string& now,
                                   const Context& context, const std::function<bool()>& ending) const {
  std::string text;
  {
    const std::lock_guard lock(mutex_);
    const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const auto& one) { return one.first == name; });
    if (found == kept_.end())
      return wrong("nothing of that name was tried", "the name that POST /api/trial gave", "try it again");
    text = found->second;
  }
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error().front());
  auto change = job::read_change("trial-" + name, now, text);
  if (!change) return tl::unexpected(change.error());
  // It is tried as if it were written now; whether somebody else has written meanwhile is told when it is stored.
  if (change->put) {
    const auto heads = job::heads(standing->changes);
    const auto head = heads.find(job::name_of(*change->put));
    change->after = head == heads.end() ? "" : head->second;
  }
  std::vector<job::Change> changes = standing->changes;
  changes.push_back(std::move(*change));
  if (auto settled = job::settle(changes); !settled) return tl::unexpected(settled.error());
  const auto toml = changed_job(ledger, changes, context);
  if (!toml) return tl::unexpected(toml.error());
  const auto before = planned(standing->toml, *standing, now, context);
  if (!before) return tl::unexpected(before.error());
  if (ending()) return wrong("the service ends", "an answer", "ask again");
  const auto after = planned(*toml, *standing, now, context);
  if (!after) return tl::unexpected(after.error());
  ordered_json pieces = ordered_json::array();
  for (const plan::PlannedPiece& then : after->pieces) {
    const auto now_is = std::find_if(before->pieces.begin(), before->pieces.end(),
                                     [&](const plan::PlannedPiece& one) { return one.id == then.id; });
    pieces.push_back({{"id", then.id},
                      {"name", then.name},
                      {"before", now_is == before->pieces.end() ? ordered_json() : numbers_of(*now_is)},
                      {"after", numbers_of(then)}});
  }
  return ordered_json{
      {"trial", name},
      {"pieces", std::move(pieces)},
      {"cost", {{"before", to_text(before->cost.total)}, {"after", to_text(after->cost.total)}}},
      {"findings", {{"new", findings_only_in(*after, *before)}, {"gone", findings_only_in(*before, *after)}}}}
      .dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

}  // namespace tackcloth::cli
