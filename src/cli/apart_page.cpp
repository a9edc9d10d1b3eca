#include "cli/apart_page.h"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/clock.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "cli/query_values.h"
#include "plan/apart_state.h"

namespace tackcloth::cli {

namespace {

using nlohmann::ordered_json;
using piece::TakenOff;

constexpr const char* kHere = "http://127.0.0.1:8420/";
constexpr std::size_t kLongestAddress = 200;
constexpr int kSpare = 12;

ordered_json json_of(const catalog::Finding& finding) {
  return {{"rule", finding.rule},
          {"severity", catalog::to_text(finding.severity)},
          {"reason", finding.reason},
          {"mend", finding.mend},
          {"source", finding.source}};
}

ordered_json json_of(const TakenOff& one) {
  ordered_json held = ordered_json::array(), cables = ordered_json::array();
  for (const piece::Fastening& f : one.held_by)
    held.push_back({{"what", f.what}, {"count", f.count}, {"size", f.size}});
  for (const piece::Cable& c : one.cables) cables.push_back({{"name", c.name}, {"from", c.from}, {"to", c.to}});
  ordered_json json = {
      {"id", one.id},           {"name", one.name},           {"part", one.part},    {"held_by", std::move(held)},
      {"bag", one.bag},         {"cable", std::move(cables)}, {"photo", one.photo},  {"under", one.under},
      {"through", one.through}, {"fits", one.fits},           {"ticked", one.ticked}};
  json["clearance_mm"] = one.clearance_um ? ordered_json(*one.clearance_um / 1000) : ordered_json();
  return json;
}

ordered_json changes_of(const std::vector<job::Change>& changes, const std::string& piece) {
  std::set<std::string> ours;
  ordered_json list = ordered_json::array();
  for (const job::Change& change : changes) {
    if (change.apart && change.apart->piece == piece) {
      ours.insert(change.key);
      list.push_back({{"key", change.key},
                      {"when", change.when},
                      {"row", change.apart->row},
                      {"what", change.apart->remove         ? "remove"
                               : change.apart->tick.empty() ? "set"
                                                            : "tick"},
                      {"tick", change.apart->tick},
                      {"stands", change.stands}});
    }
  }
  return list;
}

bool has_wires(const job::PieceOrder& order) {
  return std::any_of(order.piece.parts.begin(), order.piece.parts.end(),
                     [](const piece::Part& part) { return part.has_wiring; }) ||
         std::any_of(order.taken_off.begin(), order.taken_off.end(),
                     [](const TakenOff& one) { return !one.cables.empty(); });
}

std::vector<std::string> letters_of(const job::Job& job) {
  std::vector<std::vector<TakenOff>> all;
  for (const job::PieceOrder& order : job.pieces) all.push_back(order.taken_off);
  return piece::bag_letters(all);
}

std::string escaped(const std::string& text) {
  static const char* kHex = "0123456789ABCDEF";
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalnum(byte) != 0 || c == '-' || c == '_')
      out += c;
    else
      out += {'%', kHex[byte >> 4], kHex[byte & 15]};
  }
  return out;
}

bool plain_address(const std::string& address) {
  return address.size() <= kLongestAddress && (address.starts_with("http://") || address.starts_with("https://")) &&
         std::none_of(address.begin(), address.end(), [](char c) {
           const auto byte = static_cast<unsigned char>(c);
           return byte <= 0x20 || byte >= 0x7F;
         });
}

}  // namespace

Result<std::string> apart_page(ledger::Ledger& ledger, const std::string& now, const Context& context) {
  const auto stored = job_of_store(ledger, context);
  if (!stored) return tl::unexpected(stored.error());
  const job::Job& job = stored->job;
  const auto here = parse_instant(now);
  if (!here) return tl::unexpected(here.error());
  const auto latest = ledger.latest_plan();
  if (!latest) return tl::unexpected(latest.error());
  std::map<std::string, std::vector<piece::PartState>> states;
  if (latest->has_value()) {
    const auto plan = plan::from_json((*latest)->plan_json);
    if (!plan) return tl::unexpected(plan.error());
    for (const plan::PlannedPiece& piece : plan->pieces)
      states[piece.id] = plan::part_states(piece, *stored->catalog, *here);
  }
  const auto letters = letters_of(job);
  ordered_json pieces = ordered_json::array();
  for (std::size_t k = 0; k < job.pieces.size(); ++k) {
    const job::PieceOrder& order = job.pieces[k];
    ordered_json rows = ordered_json::array(), back = ordered_json::array();
    for (const TakenOff& one : order.taken_off) rows.push_back(json_of(one));
    for (const piece::BackOn& one : piece::way_back(order.taken_off, states[order.piece.id])) {
      ordered_json findings = ordered_json::array();
      for (const catalog::Finding& finding : one.findings) findings.push_back(json_of(finding));
      back.push_back({{"id", one.id}, {"on", one.on}, {"may", one.may}, {"findings", std::move(findings)}});
    }
    pieces.push_back({{"id", order.piece.id},
                      {"name", order.piece.name},
                      {"letter", letters[k]},
                      {"next_bag", piece::next_bag(letters[k], order.taken_off)},
                      {"next_cable", piece::next_cable(letters[k], order.taken_off)},
                      {"wires", has_wires(order)},
                      {"taken_off", std::move(rows)},
                      {"back", std::move(back)},
                      {"changes", changes_of(stored->standing.changes, order.piece.id)}});
  }
  return ordered_json{{"mains", json_of(piece::mains_caution())}, {"pieces", std::move(pieces)}}.dump(
      -1, ' ', false, ordered_json::error_handler_t::replace);
}

Result<sheet::LabelSheet> labels_of(const job::Job& job, const std::string& id, const std::string& address, int spare) {
  if (!plain_address(address))
    return tl::unexpected(Problem{"", 0, 0, "the address for the codes cannot be used",
                                  "http:// or https:// and the place of the page, up to 200 letters",
                                  "take the address at which the telephone opens the page"});
  const auto order = std::find_if(job.pieces.begin(), job.pieces.end(),
                                  [&](const job::PieceOrder& one) { return one.piece.id == id; });
  if (order == job.pieces.end())
    return tl::unexpected(
        Problem{"", 0, 0, "there is no piece '" + id + "' in this job", "the id of a piece", "look it up in the job"});
  const std::string base = address.substr(0, address.find('#')) + "#apart=" + escaped(id) + "/";
  const std::string letter = letters_of(job)[static_cast<std::size_t>(order - job.pieces.begin())];
  sheet::LabelSheet sheet;
  sheet.piece = order->piece.name;
  sheet.shop = job.shop.name;
  std::vector<TakenOff> rows = order->taken_off;
  std::set<std::string> written;
  for (const TakenOff& one : rows) {
    if (one.bag.empty() || !written.insert(one.bag).second) continue;
    std::string holds = one.name;
    for (const piece::Fastening& held : one.held_by)
      holds += ": " + std::to_string(held.count) + " " + held.what + (held.size.empty() ? "" : " " + held.size);
    sheet.labels.push_back({one.bag, "", holds, base + one.bag});
  }
  const auto ends = [&](const piece::Cable& cable, const std::string& about) {
    sheet.labels.push_back({cable.name, "1: " + cable.from, about, base + cable.name});
    sheet.labels.push_back({cable.name, "2: " + cable.to, about, base + cable.name});
  };
  for (const TakenOff& one : rows)
    for (const piece::Cable& cable : one.cables) ends(cable, one.name);
  const bool wires = has_wires(*order);
  for (int k = 0; k < spare; ++k) {
    TakenOff next;
    next.bag = piece::next_bag(letter, rows);
    sheet.labels.push_back({next.bag, "", sheet.piece, base + next.bag});
    rows.push_back(next);
  }
  for (int k = 0; wires && k < spare; ++k) {
    TakenOff next;
    next.cables.push_back({piece::next_cable(letter, rows), "", ""});
    ends(next.cables.front(), sheet.piece);
    rows.push_back(next);
  }
  return sheet;
}

Result<service::Asset> labels_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                   const Context& context) {
  auto values = query_values(query, {"paper", "language", "to"});
  if (!values) return tl::unexpected(values.error());
  const std::string& paper = (*values)["paper"];
  if (const auto known = check_paper(paper); !known) return tl::unexpected(known.error());
  const std::string address = values->contains("to") ? (*values)["to"] : kHere;
  const auto stored = job_of_store(ledger, context);
  if (!stored) return tl::unexpected(stored.error());
  const auto sheet = labels_of(stored->job, about, address, kSpare);
  if (!sheet) return tl::unexpected(sheet.error());
  const auto tongue = tongue_of((*values)["language"], context);
  if (!tongue) return tl::unexpected(tongue.error());
  auto pdf = sheet::labels_pdf(*sheet, paper_of(paper, stored->job.shop.system), wall_clock(), *tongue);
  if (!pdf) return tl::unexpected(pdf.error());
  return service::Asset{"application/pdf", std::move(*pdf), about + "-labels.pdf"};
}

}  // namespace tackcloth::cli
