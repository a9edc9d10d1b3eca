#include "job/put.h"

#include <nlohmann/json.hpp>
#include <sstream>

#include "job/parsed.h"
#include "job/refuse.h"

namespace tackcloth::job {

namespace {

using nlohmann::json;

// What was to be cut for a piece goes with it.
void drop_cut_parts(toml::table& root, const std::string& piece) {
  toml::array* cuts = root["cut"].as_array();
  for (std::size_t c = 0; cuts != nullptr && c < cuts->size(); ++c) {
    toml::table* cut = (*cuts)[c].as_table();
    toml::array* parts = cut == nullptr ? nullptr : (*cut)["part"].as_array();
    if (parts == nullptr) continue;
    for (auto part = parts->begin(); part != parts->end();) {
      const toml::table* row = part->as_table();
      const bool ours = row != nullptr && (*row)["piece"].value_or(std::string()) == piece;
      part = ours ? parts->erase(part) : part + 1;
    }
  }
}

Result<void> put_piece(toml::table& root, const Put& put, const json& body) {
  toml::array* rows = root["piece"].as_array();
  if (rows == nullptr) {
    root.insert_or_assign("piece", toml::array{});
    rows = root["piece"].as_array();
  }
  auto place = rows->begin();
  for (; place != rows->end(); ++place) {
    const toml::table* row = place->as_table();
    if (row != nullptr && (*row)["id"].value_or(std::string()) == put.id) break;
  }
  if (put.body.empty()) {
    if (place == rows->end())
      return refuse("there is no piece '" + put.id + "' in this job", "a piece of the job", "reload the page");
    rows->erase(place);
    if (rows->empty()) root.erase("piece");
    drop_cut_parts(root, put.id);
    return {};
  }
  if (!body.is_object() || body.value("id", std::string()) != put.id)
    return refuse("the body is not the piece '" + put.id + "'", "an object whose id is the one named", "send that");
  auto table = table_of(body);
  if (!table) return tl::unexpected(table.error());
  if (place == rows->end()) {
    rows->push_back(std::move(*table));
    return {};
  }
  // What came off is written at the bench, often by somebody else: who changes the piece does not change that.
  table->erase("taken_off");
  if (const toml::table* before = place->as_table())
    if (const toml::array* apart = (*before)["taken_off"].as_array()) table->insert_or_assign("taken_off", *apart);
  rows->replace(place, std::move(*table));
  return {};
}

// An array of tables, all of it anew.
Result<void> put_list(toml::table& root, const std::string& name, const json& body, const char* item_keys) {
  if (!body.is_array())
    return refuse("the " + name + " is not a list", std::string("a list of ") + item_keys, "send one");
  toml::array rows;
  for (const json& item : body) {
    if (!item.is_object()) return refuse("the " + name + " holds something else", item_keys, "send that");
    auto table = table_of(item);
    if (!table) return tl::unexpected(table.error());
    rows.push_back(std::move(*table));
  }
  if (rows.empty())
    root.erase(name);
  else
    root.insert_or_assign(name, std::move(rows));
  return {};
}

Result<std::string> placed(std::string_view text, const Put& put) {
  auto root = parsed(text);
  if (!root) return tl::unexpected(root.error());
  const json body = put.body.empty() ? json() : json::parse(put.body, nullptr, false);
  if (body.is_discarded()) return refuse("the body is not JSON", "JSON", "send it again");
  switch (put.chapter) {
    case Chapter::piece:
      if (auto done = put_piece(*root, put, body); !done) return tl::unexpected(done.error());
      break;
    case Chapter::shop: {
      if (!body.is_object()) return refuse("the shop is not an object", "the keys of [shop]", "send them");
      auto table = table_of(body);
      if (!table) return tl::unexpected(table.error());
      root->insert_or_assign("shop", std::move(*table));
      break;
    }
    case Chapter::shelf:
      if (auto done = put_list(*root, "shelf", body, "{product, amount}"); !done) return tl::unexpected(done.error());
      break;
    case Chapter::cut:
      if (auto done = put_list(*root, "cut", body, "the keys of [[cut]]"); !done) return tl::unexpected(done.error());
      break;
  }
  std::ostringstream out;
  out << *root << "\n";
  return out.str();
}

}  // namespace

std::string name_of(const Put& put) {
  switch (put.chapter) {
    case Chapter::shop:
      return "shop";
    case Chapter::shelf:
      return "shelf";
    case Chapter::cut:
      return "cut";
    case Chapter::piece:
      break;
  }
  return "piece/" + put.id;
}

Result<Put> put_named(std::string_view name) {
  if (name == "shop") return Put{Chapter::shop, "", ""};
  if (name == "shelf") return Put{Chapter::shelf, "", ""};
  if (name == "cut") return Put{Chapter::cut, "", ""};
  constexpr std::string_view kPiece = "piece/";
  if (name.starts_with(kPiece) && name.size() > kPiece.size())
    return Put{Chapter::piece, std::string(name.substr(kPiece.size())), ""};
  return refuse("'" + std::string(name.substr(0, 60)) + "' is no chapter of a job", "piece/ID, shop, shelf or cut",
                "name one of them");
}

Result<std::string> laid_over(std::string_view toml, const std::vector<Step>& steps) {
  std::string text(toml);
  for (auto step = steps.begin(); step != steps.end();) {
    if (const Put* put = std::get_if<Put>(&*step)) {
      auto next = placed(text, *put);
      if (!next) return next;
      text = std::move(*next);
      ++step;
      continue;
    }
    if (const ApartStep* apart = std::get_if<ApartStep>(&*step)) {
      auto next = with_apart(text, *apart);
      if (!next) return next;
      text = std::move(*next);
      ++step;
      continue;
    }
    std::vector<Edit> run;
    for (; step != steps.end() && std::holds_alternative<Edit>(*step); ++step) run.push_back(std::get<Edit>(*step));
    auto next = edited(text, run);
    if (!next) return next;
    text = std::move(*next);
  }
  return text;
}

Result<std::string> as_json(std::string_view toml) {
  const auto root = parsed(toml);
  if (!root) return tl::unexpected(root.error());
  std::ostringstream out;
  out << toml::json_formatter(*root, toml::format_flags::quote_dates_and_times);
  return out.str();
}

}  // namespace tackcloth::job
