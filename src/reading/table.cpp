#include "reading/table.h"

#include "reading/toml.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "reading/guard.h"

namespace tackcloth::reading {

struct Document::Impl {
  std::string name;
  toml::table root;
  std::vector<Problem> problems;
};

struct Table::State {
  Document::Impl* document;
  const toml::table* table;
  std::set<std::string, std::less<>> asked;
};

namespace {

constexpr std::size_t kMostProblems = 50;

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string number_text(double value) {
  std::string text = std::to_string(value);
  while (text.find('.') != std::string::npos && (text.back() == '0' || text.back() == '.')) {
    const bool point = text.back() == '.';
    text.pop_back();
    if (point) break;
  }
  return text;
}

const char* kind_of(const toml::node& node) {
  if (node.is_table()) return "a table";
  if (node.is_array()) return "a list";
  if (node.is_string()) return "text";
  if (node.is_integer() || node.is_floating_point()) return "a number";
  if (node.is_boolean()) return "true or false";
  return "a date or time";
}

}  // namespace

Document::Document() : impl_(std::make_unique<Impl>()) {}
Document::~Document() = default;

Result<std::unique_ptr<Document>> Document::open(const std::string& path, std::size_t max_bytes) {
  auto text = read_text(path, max_bytes);
  if (!text) return tl::unexpected(text.error());
  return parse(*text, path, max_bytes);
}

Result<std::unique_ptr<Document>> Document::parse(std::string_view text, const std::string& name,
                                                  std::size_t max_bytes) {
  if (auto problem = refuse(text, name, max_bytes)) return tl::unexpected(*problem);
  std::unique_ptr<Document> document(new Document());
  document->impl_->name = name;
  try {
    document->impl_->root = toml::parse(text, std::string_view(name));
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problem{name, static_cast<int>(error.source().begin.line),
                                  static_cast<int>(error.source().begin.column), std::string(error.description()),
                                  "TOML 1.1", "look at this line, and at quotes and brackets just before it"});
  } catch (const std::exception&) {
    return tl::unexpected(Problem{name, 0, 0, "this file is no TOML", "TOML 1.1",
                                  "look for a stray bracket, dot or quote, or start again from an example"});
  }
  return document;
}

Table Document::root() { return Table(std::make_shared<Table::State>(Table::State{impl_.get(), &impl_->root, {}})); }
const std::vector<Problem>& Document::problems() const { return impl_->problems; }
void Document::add(Problem problem) {
  if (problem.file.empty()) problem.file = impl_->name;
  if (impl_->problems.size() < kMostProblems) impl_->problems.push_back(std::move(problem));
}

Table::Table(std::shared_ptr<State> state) : state_(std::move(state)) {}

namespace {
const toml::node* find(const toml::table& table, std::string_view key) {
  const auto found = table.find(key);
  return found == table.end() ? nullptr : &found->second;
}
}  // namespace

bool Table::has(std::string_view key) const { return find(*state_->table, key) != nullptr; }

int Table::line() const { return static_cast<int>(state_->table->source().begin.line); }

int Table::column() const { return static_cast<int>(state_->table->source().begin.column); }

void Table::known(std::string_view key) { state_->asked.emplace(key); }

bool Table::is_text(std::string_view key) const {
  const toml::node* node = find(*state_->table, key);
  return node && node->is_string();
}

std::vector<std::string> Table::keys() const {
  std::vector<std::string> all;
  for (const auto& [key, value] : *state_->table) all.emplace_back(key.str());
  return all;
}

void Table::problem(std::string_view key, std::string what, std::string expected, std::string remedy) {
  const toml::node* node = find(*state_->table, key);
  const toml::source_region& where = node ? node->source() : state_->table->source();
  auto& problems = state_->document->problems;
  if (problems.size() >= kMostProblems) return;
  problems.push_back({state_->document->name, static_cast<int>(where.begin.line), static_cast<int>(where.begin.column),
                      std::move(what), std::move(expected), std::move(remedy)});
}

std::optional<std::string> Table::text(std::string_view key) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  if (const auto value = node->value_exact<std::string>()) return *value;
  problem(key, "'" + std::string(key) + "' is " + kind_of(*node), "text in quotes", "write it as \"...\"");
  return std::nullopt;
}

std::string Table::need_text(std::string_view key) {
  if (!has(key)) {
    state_->asked.emplace(key);
    problem(key, "'" + std::string(key) + "' is missing here", "text in quotes",
            "add " + std::string(key) + " = \"...\"");
    return {};
  }
  auto value = text(key);
  if (value && value->empty()) problem(key, "'" + std::string(key) + "' is empty", "at least one letter", "fill it in");
  return value.value_or(std::string());
}

std::optional<double> Table::number(std::string_view key, double low, double high) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  const std::string range = "a number from " + number_text(low) + " to " + number_text(high);
  if (!node->is_integer() && !node->is_floating_point()) {
    problem(key, "'" + std::string(key) + "' is " + kind_of(*node), range, "write it without quotes");
    return std::nullopt;
  }
  const double value = *node->value<double>();
  if (!(value >= low && value <= high)) {
    problem(key, "'" + std::string(key) + "' is " + (std::isnan(value) ? "not a number" : number_text(value)), range,
            "check the figure and its unit");
    return std::nullopt;
  }
  return value;
}

double Table::need_number(std::string_view key, double low, double high) {
  if (!has(key)) {
    state_->asked.emplace(key);
    problem(key, "'" + std::string(key) + "' is missing here",
            "a number from " + number_text(low) + " to " + number_text(high), "add " + std::string(key) + " = ...");
    return low;
  }
  return number(key, low, high).value_or(low);
}

std::optional<long long> Table::integer(std::string_view key, long long low, long long high) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  const auto value = node->value_exact<std::int64_t>();
  if (!value || *value < low || *value > high) {
    problem(key, "'" + std::string(key) + "' is " + (value ? std::to_string(*value) : std::string(kind_of(*node))),
            "a whole number from " + std::to_string(low) + " to " + std::to_string(high), "check the figure");
    return std::nullopt;
  }
  return *value;
}

std::optional<bool> Table::boolean(std::string_view key) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  if (const auto value = node->value_exact<bool>()) return *value;
  problem(key, "'" + std::string(key) + "' is " + kind_of(*node), "true or false", "write it without quotes");
  return std::nullopt;
}

std::optional<Instant> Table::instant(std::string_view key) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  const auto of_date = [](const toml::date& d) {
    return Instant(std::chrono::local_days(
        std::chrono::year_month_day(std::chrono::year(d.year), std::chrono::month(d.month), std::chrono::day(d.day))));
  };
  if (const auto date = node->value_exact<toml::date>()) return of_date(*date);
  if (const auto when = node->value_exact<toml::date_time>()) {
    if (when->offset) {
      problem(key, "'" + std::string(key) + "' has a time zone", "the time on the clock of the shop",
              "leave out the Z or +01:00");
      return std::nullopt;
    }
    return of_date(when->date) + std::chrono::hours(when->time.hour) + Minutes(when->time.minute);
  }
  if (const auto words = node->value_exact<std::string>()) {
    const auto parsed = parse_instant(*words);
    if (parsed) return *parsed;
    problem(key, parsed.error().what, parsed.error().expected, parsed.error().remedy);
    return std::nullopt;
  }
  problem(key, "'" + std::string(key) + "' is " + kind_of(*node), "a date, 2026-03-04", "write year, month and day");
  return std::nullopt;
}

std::vector<std::string> Table::texts(std::string_view key) {
  state_->asked.emplace(key);
  std::vector<std::string> words;
  const toml::node* node = find(*state_->table, key);
  if (!node) return words;
  const toml::array* list = node->as_array();
  bool good = list != nullptr;
  if (list)
    for (const toml::node& item : *list) {
      if (const auto word = item.value_exact<std::string>())
        words.push_back(*word);
      else
        good = false;
    }
  if (!good)
    problem(key, "'" + std::string(key) + "' is not a list of words", "[\"one\", \"two\"]", "put each word in quotes");
  return words;
}

std::vector<double> Table::numbers(std::string_view key) {
  state_->asked.emplace(key);
  std::vector<double> values;
  const toml::node* node = find(*state_->table, key);
  if (!node) return values;
  const toml::array* list = node->as_array();
  bool good = list != nullptr;
  if (list)
    for (const toml::node& item : *list) {
      const auto value = item.value<double>();
      if (value && std::isfinite(*value) && !item.is_boolean())
        values.push_back(*value);
      else
        good = false;
    }
  if (!good)
    problem(key, "'" + std::string(key) + "' is not a list of numbers", "[1, 2.5]", "write numbers without quotes");
  return values;
}

std::vector<std::vector<double>> Table::rows(std::string_view key, Result<double> (*parse)(std::string_view),
                                             std::size_t least, std::size_t most, std::string_view expected) {
  constexpr std::size_t kMostRows = 2000;
  state_->asked.emplace(key);
  std::vector<std::vector<double>> all;
  const toml::node* node = find(*state_->table, key);
  if (!node) return all;
  const auto refuse = [&](const toml::node& where, std::string what) {
    auto& problems = state_->document->problems;
    if (problems.size() < kMostProblems)
      problems.push_back({state_->document->name, static_cast<int>(where.source().begin.line),
                          static_cast<int>(where.source().begin.column), "'" + std::string(key) + "': " + what,
                          std::string(expected), "check this entry"});
    return std::vector<std::vector<double>>();
  };
  const toml::array* list = node->as_array();
  if (!list) return refuse(*node, "this is " + std::string(kind_of(*node)));
  if (list->size() > kMostRows) return refuse(*node, "there are more than 2000 entries");
  for (const toml::node& item : *list) {
    const toml::array* inner = item.as_array();
    if (!inner || inner->size() < least || inner->size() > most) return refuse(item, "this entry has another form");
    std::vector<double> row;
    for (const toml::node& cell : *inner) {
      double value = 0;
      if (const auto words = cell.value_exact<std::string>()) {
        const auto parsed = parse(*words);
        if (!parsed) return refuse(cell, parsed.error().what);
        value = *parsed;
      } else if (cell.is_integer() || cell.is_floating_point()) {
        value = *cell.value<double>();
      } else {
        return refuse(cell, "this is " + std::string(kind_of(cell)));
      }
      if (!std::isfinite(value)) return refuse(cell, "this is not a number");
      row.push_back(value);
    }
    all.push_back(std::move(row));
  }
  return all;
}

std::optional<double> Table::quantity(std::string_view key, Result<double> (*parse)(std::string_view), double low,
                                      double high, std::string_view expected) {
  const bool present = has(key);
  const auto words = text(key);
  if (!present || !words) return std::nullopt;
  const auto value = parse(*words);
  if (!value) {
    problem(key, "'" + std::string(key) + "': " + value.error().what, std::string(expected), value.error().remedy);
    return std::nullopt;
  }
  if (!(*value >= low && *value <= high)) {
    problem(key, "'" + std::string(key) + "' is " + *words + ", which cannot be", std::string(expected),
            "check the figure and its unit");
    return std::nullopt;
  }
  return *value;
}

double Table::need_quantity(std::string_view key, Result<double> (*parse)(std::string_view), double low, double high,
                            std::string_view expected) {
  if (!has(key)) {
    state_->asked.emplace(key);
    problem(key, "'" + std::string(key) + "' is missing here", std::string(expected),
            "add " + std::string(key) + " = \"...\"");
    return low;
  }
  return quantity(key, parse, low, high, expected).value_or(low);
}

std::optional<int> Table::choice(std::string_view key, const std::vector<std::string>& words) {
  const auto word = text(key);
  if (!word) return std::nullopt;
  const auto found = std::find(words.begin(), words.end(), *word);
  if (found != words.end()) return static_cast<int>(found - words.begin());
  const auto near = nearest(*word, words);
  problem(key, "'" + *word + "' is not a word for '" + std::string(key) + "'", "one of: " + joined(words),
          near ? "did you mean '" + *near + "'?" : "choose one of these words");
  return std::nullopt;
}

std::optional<Table> Table::table(std::string_view key) {
  state_->asked.emplace(key);
  const toml::node* node = find(*state_->table, key);
  if (!node) return std::nullopt;
  if (const toml::table* inner = node->as_table())
    return Table(std::make_shared<State>(State{state_->document, inner, {}}));
  problem(key, "'" + std::string(key) + "' is " + kind_of(*node), "a table",
          "write [" + std::string(key) + "] or { ... }");
  return std::nullopt;
}

std::vector<Table> Table::tables(std::string_view key) {
  state_->asked.emplace(key);
  std::vector<Table> all;
  const toml::node* node = find(*state_->table, key);
  if (!node) return all;
  const toml::array* list = node->as_array();
  bool good = list != nullptr;
  if (list)
    for (const toml::node& item : *list) {
      if (const toml::table* inner = item.as_table())
        all.push_back(Table(std::make_shared<State>(State{state_->document, inner, {}})));
      else
        good = false;
    }
  if (!good)
    problem(key, "'" + std::string(key) + "' is not a list of tables", "[[" + std::string(key) + "]]",
            "write [[" + std::string(key) + "]] above each");
  return all;
}

void Table::finish() {
  const std::vector<std::string> known(state_->asked.begin(), state_->asked.end());
  for (const auto& [key, value] : *state_->table) {
    if (state_->asked.find(key.str()) != state_->asked.end()) continue;
    const std::string word(key.str());
    const auto near = nearest(word, known);
    auto& problems = state_->document->problems;
    if (problems.size() >= kMostProblems) return;
    problems.push_back({state_->document->name, static_cast<int>(key.source().begin.line),
                        static_cast<int>(key.source().begin.column), "'" + word + "' is not known here",
                        "one of: " + joined(known),
                        near ? "did you mean '" + *near + "'?" : "take it out, or look it up"});
  }
}

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& known) {
  if (word.size() > 100) return std::nullopt;
  std::size_t best = word.size() / 2 + 1;
  std::optional<std::string> result;
  for (const std::string& candidate : known) {
    // Optimal string alignment: insert, delete, change, or swap two neighbours. Three rows at a time.
    const std::size_t width = candidate.size() + 1;
    std::vector<std::size_t> older(width), old(width), row(width);
    for (std::size_t j = 0; j < width; ++j) row[j] = j;
    for (std::size_t i = 1; i <= word.size(); ++i) {
      older.swap(old);
      old.swap(row);
      row[0] = i;
      for (std::size_t j = 1; j < width; ++j) {
        row[j] = std::min({old[j] + 1, row[j - 1] + 1, old[j - 1] + (word[i - 1] != candidate[j - 1])});
        if (i > 1 && j > 1 && word[i - 1] == candidate[j - 2] && word[i - 2] == candidate[j - 1])
          row[j] = std::min(row[j], older[j - 2] + 1);
      }
    }
    if (row.back() < best) {
      best = row.back();
      result = candidate;
    }
  }
  return result;
}

}  // namespace tackcloth::reading
