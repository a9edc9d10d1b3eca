#include "job/stock_step.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "job/changes.h"
#include "job/refuse.h"

namespace tackcloth::job {

namespace {

using materials::Move;
using nlohmann::json;
using nlohmann::ordered_json;

constexpr double kMostAmount = 1e5;
constexpr int kMostPacks = 1000;

Result<std::string> date_of(const json& row, const char* name) {
  if (!row.contains(name) || row[name].is_null()) return std::string();
  if (!row[name].is_string()) return refuse(std::string("'") + name + "' is no date", "2026-03-04", "write it so");
  const auto read = parse_instant(row[name].get_ref<const std::string&>());
  if (!read) return tl::unexpected(read.error());
  return to_iso(*read);
}

Result<StockLine> line_of(const json& row) {
  if (!row.is_object()) return refuse("a line of the shelf is no object", "{product, amount}", "send one");
  for (const auto& [name, value] : row.items())
    if (name != "product" && name != "amount" && name != "packs" && name != "bought" && name != "opened")
      return refuse("unknown field '" + name + "' in a line of the shelf", "product, amount, packs, bought, opened",
                   "leave it out");
  StockLine line;
  if (!row.contains("product") || !row["product"].is_string() || row["product"].get_ref<const std::string&>().empty() ||
      row["product"].get_ref<const std::string&>().size() > 100)
    return refuse("'product' is missing or too long", "the id of a product", "take it from the catalogue");
  line.product = row["product"].get<std::string>();
  if (!row.contains("amount") || !row["amount"].is_number() || !std::isfinite(row["amount"].get<double>()))
    return refuse("the amount of '" + line.product + "' is missing", "a number, in the product's unit", "say how much");
  line.amount = row["amount"].get<double>();
  if (line.amount < 0)
    return refuse("the amount of '" + line.product + "' is below zero", "zero or more",
                 "count what is there; what was thrown away is told as gone");
  if (line.amount > kMostAmount)
    return refuse("the amount of '" + line.product + "' is beyond reason", "at most a hundred thousand",
                 "check the figure");
  if (row.contains("packs")) {
    if (!row["packs"].is_number_integer() || row["packs"] < 1 || row["packs"] > kMostPacks)
      return refuse("the packs of '" + line.product + "' are no count", "a whole number from 1 to 1000",
                   "check the figure");
    line.packs = row["packs"].get<int>();
  }
  for (auto [name, place] : {std::pair{"bought", &line.bought}, std::pair{"opened", &line.opened}}) {
    auto date = date_of(row, name);
    if (!date) return tl::unexpected(date.error());
    *place = std::move(*date);
  }
  return line;
}

std::optional<Instant> instant_of(const std::string& text) {
  const auto read = text.empty() ? tl::unexpected(Problem{}) : parse_instant(text);
  return read ? std::optional(*read) : std::nullopt;
}

}  // namespace

std::string to_text(Move move) {
  switch (move) {
    case Move::there:
      return "there";
    case Move::came:
      return "came";
    case Move::counted:
      return "counted";
    case Move::used:
      return "used";
    case Move::gone:
      return "gone";
  }
  return "";
}

Result<StockStep> read_stock_step(std::string_view text) {
  const json body = json::parse(text, nullptr, false);
  if (!body.is_object()) return refuse("what is told of the shelf is no object", "{stock, lines}", "send one");
  for (const auto& [name, value] : body.items())
    if (name != "stock" && name != "on" && name != "lines")
      return refuse("unknown field '" + name + "' of the shelf", "stock, on, lines", "leave it out");
  StockStep step;
  bool known = false;
  for (const Move word : {Move::came, Move::counted, Move::gone})
    if (body.contains("stock") && body["stock"] == to_text(word)) {
      step.word = word;
      known = true;
    }
  if (!known) return refuse("'stock' says nothing that is known", "came, counted or gone", "choose one of them");
  auto on = date_of(body, "on");
  if (!on) return tl::unexpected(on.error());
  step.on = std::move(*on);
  if (!body.contains("lines") || !body["lines"].is_array() || body["lines"].empty() ||
      body["lines"].size() > kMostStockLines)
    return refuse("'lines' is missing, empty or too long", "1 to 200 of {product, amount}", "send them");
  for (const json& row : body["lines"]) {
    auto line = line_of(row);
    if (!line) return tl::unexpected(line.error());
    step.lines.push_back(std::move(*line));
  }
  return step;
}

std::string to_json(const StockStep& step) {
  ordered_json body{{"stock", to_text(step.word)}};
  if (!step.on.empty()) body["on"] = step.on;
  ordered_json lines = ordered_json::array();
  for (const StockLine& line : step.lines) {
    ordered_json row{{"product", line.product}, {"amount", line.amount}};
    if (line.packs != 1) row["packs"] = line.packs;
    if (!line.bought.empty()) row["bought"] = line.bought;
    if (!line.opened.empty()) row["opened"] = line.opened;
    lines.push_back(std::move(row));
  }
  body["lines"] = std::move(lines);
  return body.dump(-1, ' ', false, json::error_handler_t::replace);
}

Result<void> check_stock(const StockStep& step, const catalog::Catalog& catalog, Instant now) {
  const std::string today = to_iso(now);
  const auto ahead = [&](const std::string& date) {
    const auto read = instant_of(date);
    return read && *read > now;
  };
  if (ahead(step.on)) return refuse("'on' is in the future", "a time not after " + today, "tell it when it is so");
  for (const StockLine& line : step.lines) {
    const auto known = stocked(line.product, catalog);
    if (!known)
      return refuse("there is no product '" + line.product.substr(0, 60) + "'",
                   "the id of a product of the catalogue, or abrasive_p120",
                   "tackcloth buy --json and docs/catalog.md have the ids");
    if (ahead(line.bought) || ahead(line.opened))
      return refuse("'" + line.product + "' was bought or opened in the future", "a date not after " + today,
                   "check the dates");
    if (!line.bought.empty() && !line.opened.empty() && line.opened < line.bought)
      return refuse("'" + line.product + "' was opened before it was bought", "bought, then opened", "check the dates");
  }
  return {};
}

std::vector<materials::Movement> told_stock(const std::vector<Change>& changes) {
  std::vector<materials::Movement> told;
  for (const Change& change : changes) {
    if (!change.stands || !change.stock) continue;
    const auto when = instant_of(change.stock->on.empty() ? change.when : change.stock->on);
    if (!when) continue;
    // A count of several lines of one product is one count.
    std::map<std::string, std::size_t> first;
    for (const StockLine& line : change.stock->lines) {
      const Move word = change.stock->word;
      materials::Movement one{word,
                              line.product,
                              materials::stock_grains(line.amount),
                              *when,
                              instant_of(line.bought),
                              instant_of(line.opened),
                              change.key};
      if (word == Move::counted) {
        one.amount *= line.packs;
        const auto [at, fresh] = first.try_emplace(line.product, told.size());
        if (!fresh) {
          told[at->second].amount += one.amount;
          // Of several cans counted together the older date holds for all.
          for (auto date : {&materials::Movement::bought, &materials::Movement::opened})
            if (one.*date && (!(told[at->second].*date) || *(one.*date) < *(told[at->second].*date)))
              told[at->second].*date = one.*date;
          continue;
        }
        told.push_back(std::move(one));
        continue;
      }
      for (int k = 0; k < line.packs; ++k) told.push_back(one);
    }
  }
  return told;
}

std::optional<Stocked> stocked(const std::string& id, const catalog::Catalog& catalog) {
  if (const catalog::Product* product = catalog.product(id)) return Stocked{product->name, product->unit};
  for (const catalog::Abrasive& abrasive : catalog.abrasives)
    if (id == "abrasive_p" + std::to_string(abrasive.grit))
      return Stocked{"Abrasive sheets P" + std::to_string(abrasive.grit), "sheet"};
  return {};
}

Result<double> parse_amount(std::string_view text, const std::string& unit) {
  double number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  const bool bare = error == std::errc() && end == text.data() + text.size() && std::isfinite(number);
  Result<double> amount = number;
  std::string expected = "a number of " + unit + "s";
  if (unit == "l") {
    amount = units::parse_volume_l(text);
    expected = "a volume, as \"0.6 l\" or \"1 qt\"";
  } else if (unit == "m" && !bare) {
    amount = units::parse_length_mm(text).map([](double mm) { return mm / 1000; });
    expected = "a length, as \"12 m\"";
  } else if (unit == "m2" && !bare) {
    amount = units::parse_area_m2(text);
    expected = "an area, as \"2 m2\"";
  } else if (!bare) {
    amount = tl::unexpected(Problem{});
  }
  const std::string shown = "'" + std::string(text.substr(0, 40)) + "'";
  if (!amount) return refuse(shown + " is no amount", expected, "write it so");
  if (*amount < 0)
    return refuse(shown + " is below zero", "zero or more", "count what is there; what was thrown away is told as gone");
  if (*amount > kMostAmount)
    return refuse(shown + " is beyond reason", "at most a hundred thousand", "check the figure");
  return *amount;
}

std::string format_amount(double amount, const std::string& unit, units::System system) {
  if (unit == "l") return units::format_volume(amount, system);
  if (unit == "m") return units::format_length(amount * 1000, system);
  if (unit == "m2") return units::format_area(amount, system);
  char text[48];
  std::snprintf(text, sizeof text, "%.4g %s", amount, unit.c_str());
  return text;
}

}  // namespace tackcloth::job
