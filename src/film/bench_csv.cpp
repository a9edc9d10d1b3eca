#include <algorithm>
#include <fstream>
#include <optional>
#include <sstream>

#include "film/calibrate.h"

namespace tackcloth::film {
namespace {

std::string trimmed(std::string_view text) {
  const std::size_t a = text.find_first_not_of(" \t\r\"");
  if (a == std::string_view::npos) return {};
  return std::string(text.substr(a, text.find_last_not_of(" \t\r\"") - a + 1));
}

std::vector<std::string> cells(std::string_view line) {
  std::vector<std::string> out;
  while (true) {
    const std::size_t comma = line.find(',');
    out.push_back(trimmed(line.substr(0, comma)));
    if (comma == std::string_view::npos) return out;
    line.remove_prefix(comma + 1);
  }
}

std::optional<double> number(const std::string& text) {
  try {
    std::size_t used = 0;
    const double value = std::stod(text, &used);
    if (used == text.size() && value - value == 0) return value;
  } catch (const std::exception&) {
  }
  return std::nullopt;
}

class Reader {
 public:
  Reader(std::string name, const catalog::Catalog& catalog) : name_(std::move(name)), catalog_(catalog) {}

  Results<std::vector<BenchEntry>> read(std::string_view text) {
    constexpr std::size_t most = 8u << 20;
    if (text.size() > most) return fail(0, "the file is over 8 MB", "a list of bench entries", "split it");
    if (text.find('\0') != std::string_view::npos) {
      return fail(0, "the file holds binary data", "text with commas between values", "save it as CSV");
    }
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    int line = 0;
    std::vector<BenchEntry> entries;
    while (!text.empty()) {
      const std::size_t end = text.find('\n');
      const std::string_view row = text.substr(0, end);
      text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
      ++line;
      if (trimmed(row).empty() || trimmed(row).front() == '#') continue;
      if (head_.empty()) {
        head_ = cells(row);
        for (const char* key : {"product", "applied", "wet_um", "temp_c", "rh_percent", "hours", "seen"}) {
          if (std::find(head_.begin(), head_.end(), key) == head_.end()) {
            add(line, std::string("the column '") + key + "' is missing",
                "product, applied, wet_um, temp_c, rh_percent, hours, seen", "add it to the first row");
          }
        }
        if (!problems_.empty()) return tl::unexpected(problems_);
        continue;
      }
      row_ = cells(row);
      entries.push_back(entry(line));
    }
    if (head_.empty()) add(0, "the file is empty", "a header row and one entry a row", "write the header row first");
    if (!problems_.empty()) return tl::unexpected(problems_);
    return entries;
  }

 private:
  void add(int line, std::string what, std::string expected, std::string remedy) {
    problems_.push_back({name_, line, line > 0 ? 1 : 0, std::move(what), std::move(expected), std::move(remedy)});
  }
  Results<std::vector<BenchEntry>> fail(int line, std::string what, std::string expected, std::string remedy) {
    add(line, std::move(what), std::move(expected), std::move(remedy));
    return tl::unexpected(problems_);
  }
  std::string cell(const char* key) const {
    const auto at = std::find(head_.begin(), head_.end(), key);
    const std::size_t i = static_cast<std::size_t>(at - head_.begin());
    return at == head_.end() || i >= row_.size() ? std::string() : row_[i];
  }
  double within(int line, const char* key, double low, double high, std::optional<double> fallback = {}) {
    const std::string text = cell(key);
    if (text.empty() && fallback) return *fallback;
    const std::optional<double> value = number(text);
    if (value && *value >= low && *value <= high) return *value;
    std::ostringstream range;
    range << "a number from " << low << " to " << high;
    add(line, std::string(key) + " is '" + text + "'", range.str(), "write the number without a unit");
    return low;
  }
  BenchEntry entry(int line) {
    BenchEntry out;
    out.line = line;
    const std::string id = cell("product");
    out.coat.product = catalog_.product(id);
    if (!out.coat.product)
      add(line, "the product '" + id + "' is not known", "the id of a product", "see the catalogue");
    const Result<Instant> applied = parse_instant(cell("applied"));
    if (applied) {
      out.applied = *applied;
    } else {
      add(line, "applied is '" + cell("applied") + "'", "a time such as 2026-03-04T17:30", "write it as ISO 8601");
    }
    out.name = cell("coat");
    out.coat.wet_um = within(line, "wet_um", 1, 5000);
    climate::Air air;
    air.temp_c = within(line, "temp_c", -40, 60);
    air.rh = within(line, "rh_percent", 0, 100) / 100;
    air.speed_m_s = within(line, "air_m_s", 0, 10, 0.1);
    out.air = climate::ClimateSeries::constant(air);
    out.hours = within(line, "hours", 0.01, 5000);
    const std::string seen = cell("seen");
    if (const std::optional<Seen> known = seen_of(seen))
      out.seen = *known;
    else
      add(line, "seen is '" + seen + "'", "tacky, soft, dry or sands to powder", "choose the nearest of these");
    const std::string ground = cell("ground"), lie = cell("lie");
    if (ground == "bare")
      out.coat.ground = Ground::bare_wood;
    else if (ground == "metal")
      out.coat.ground = Ground::metal;
    else if (!ground.empty() && ground != "sealed")
      add(line, "ground is '" + ground + "'", "bare, sealed or metal", "choose one");
    if (lie == "flat")
      out.coat.lie = Lie::horizontal;
    else if (!lie.empty() && lie != "upright")
      add(line, "lie is '" + lie + "'", "flat or upright", "choose one");
    return out;
  }

  std::string name_;
  const catalog::Catalog& catalog_;
  std::vector<std::string> head_, row_;
  std::vector<Problem> problems_;
};

}  // namespace

Results<std::vector<BenchEntry>> parse_bench_csv(std::string_view text, const std::string& name,
                                                 const catalog::Catalog& catalog) {
  return Reader(name, catalog).read(text);
}

Results<std::vector<BenchEntry>> read_bench_csv(const std::string& path, const catalog::Catalog& catalog) {
  std::ifstream in(path, std::ios::binary);
  if (!in) {
    return tl::unexpected(
        std::vector<Problem>{{path, 0, 0, "the file cannot be read", "a CSV file of bench entries", "check the path"}});
  }
  std::string text(std::size_t{(8u << 20) + 1}, '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return parse_bench_csv(text, path, catalog);
}

}  // namespace tackcloth::film
