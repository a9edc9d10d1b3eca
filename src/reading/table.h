// Strict reading of TOML: every key is asked for, what was not asked for is an error with a suggestion, and every error
// knows its file, line and column. Used for the job file and the catalogue.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "units/result.h"
#include "units/time.h"

namespace tackcloth::reading {

class Table;

// Collects problems while a document is read.
class Document {
 public:
  // Refuses files over `max_bytes`, text that is not UTF-8, NUL bytes and nesting deeper than 64 before it parses.
  static Result<std::unique_ptr<Document>> open(const std::string& path, std::size_t max_bytes = 8u << 20);
  static Result<std::unique_ptr<Document>> parse(std::string_view text, const std::string& name,
                                                 std::size_t max_bytes = 8u << 20);
  ~Document();
  Table root();
  const std::vector<Problem>& problems() const;
  void add(Problem problem);

 private:
  Document();
  friend class Table;
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// A view of one table. A getter marks its key as known. `need_*` reports a missing key and returns a harmless value.
class Table {
 public:
  bool has(std::string_view key) const;
  std::string need_text(std::string_view key);
  std::optional<std::string> text(std::string_view key);
  double need_number(std::string_view key, double low, double high);
  std::optional<double> number(std::string_view key, double low, double high);
  std::optional<long long> integer(std::string_view key, long long low, long long high);
  std::optional<bool> boolean(std::string_view key);
  std::optional<Instant> instant(std::string_view key);  // TOML date, date-time or ISO text
  std::vector<std::string> texts(std::string_view key);
  std::vector<double> numbers(std::string_view key);
  // A list of short lists: [[0, 30], ["12 cm", 22.5]]. Text goes through `parse`, plain numbers are taken as they are.
  // Every row has `least` to `most` items; at most 2000 rows.
  std::vector<std::vector<double>> rows(std::string_view key, Result<double> (*parse)(std::string_view),
                                        std::size_t least, std::size_t most, std::string_view expected);
  // A quantity written as text ("23 5/8 in"), read by one of units::parse_*, within [low, high] in that unit.
  std::optional<double> quantity(std::string_view key, Result<double> (*parse)(std::string_view), double low,
                                 double high, std::string_view expected);
  double need_quantity(std::string_view key, Result<double> (*parse)(std::string_view), double low, double high,
                       std::string_view expected);
  // One of the given words; reports the nearest word otherwise. Returns its index.
  std::optional<int> choice(std::string_view key, const std::vector<std::string>& words);
  std::optional<Table> table(std::string_view key);
  std::vector<Table> tables(std::string_view key);  // array of tables
  std::vector<std::string> keys() const;
  void known(std::string_view key);  // marks a key as asked for without reading it
  bool is_text(std::string_view key) const;
  // Reports `what` at the position of `key` (or of the table itself when the key is missing).
  void problem(std::string_view key, std::string what, std::string expected, std::string remedy);
  // Call once all keys have been asked for: the rest is reported as unknown, with the nearest known key.
  void finish();
  int line() const;
  int column() const;

 private:
  friend class Document;
  struct State;
  explicit Table(std::shared_ptr<State> state);
  std::shared_ptr<State> state_;
};

// The word of `known` nearest to `word` by edit distance, or nothing if none is near.
std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& known);

}  // namespace tackcloth::reading
