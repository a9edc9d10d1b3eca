#include "color/spectrum_csv.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "reading/guard.h"

namespace tackcloth::color {

namespace {

constexpr std::size_t kMaxBytes = 8u << 20, kMaxRows = 5000, kMaxColumns = 2000;

std::vector<std::string_view> fields_of(std::string_view line, char separator) {
  std::vector<std::string_view> out;
  while (true) {
    const std::size_t end = std::min(line.find(separator), line.size());
    std::string_view field = line.substr(0, end);
    const auto blank = [](char c) { return c == ' ' || c == '"' || c == '\t'; };
    while (!field.empty() && blank(field.front())) field.remove_prefix(1);
    while (!field.empty() && blank(field.back())) field.remove_suffix(1);
    out.push_back(field);
    if (end == line.size()) return out;
    line.remove_prefix(end + 1);
  }
}

std::optional<double> number(std::string_view text) {
  if (text.ends_with('%')) text.remove_suffix(1);
  double v = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(v)) return std::nullopt;
  return v;
}

bool says_percent(std::string_view head) {
  return head.find('%') != std::string_view::npos || head.find("percent") != std::string_view::npos;
}

}  // namespace

Result<std::vector<Sample>> read_reflectances(std::string_view text, const std::string& file) {
  const auto refuse = [&](int line, int column, std::string what, std::string expected) {
    return tl::unexpected<Problem>({file, line, column, std::move(what), std::move(expected),
                                    "one line a wavelength: 400,0.123 (or 12.3 under a head that says percent)"});
  };
  std::vector<double> nm;
  std::vector<std::vector<double>> columns;
  std::vector<std::string> names;
  bool percent = false, seen = false;
  double largest = 0;
  int at = 0;
  while (!text.empty()) {
    ++at;
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (at == 1 && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
    if (line.empty() || line.front() == '#') continue;
    const char separator = line.find(';') != std::string_view::npos    ? ';'
                           : line.find('\t') != std::string_view::npos ? '\t'
                                                                       : ',';
    const auto fields = fields_of(line, separator);
    if (fields.size() < 2) return refuse(at, 1, "the line has 1 column", "wavelength and reflectance");
    if (fields.size() > kMaxColumns + 1) return refuse(at, 1, "the line has too many columns", "at most 2000");
    const auto first = number(fields[0]);
    if (!seen) {
      seen = true;
      columns.resize(fields.size() - 1);
      for (std::size_t c = 1; c < fields.size(); ++c)
        names.push_back(first ? std::to_string(c) : std::string(fields[c]));
      if (!first) {
        percent = says_percent(line);
        continue;
      }
    }
    if (!first)
      return refuse(at, 1, "'" + std::string(fields[0].substr(0, 40)) + "' is not a number", "a wavelength in nm");
    if (fields.size() != columns.size() + 1)
      return refuse(at, 1, "the line has " + std::to_string(fields.size()) + " columns",
                    std::to_string(columns.size() + 1) + " as on the lines before");
    if (!(*first >= 200 && *first <= 1200))
      return refuse(at, 1, "the wavelength is " + std::string(fields[0]), "200 to 1200 nm");
    if (!nm.empty() && !(*first > nm.back()))
      return refuse(at, 1, "the wavelength does not rise", "more than " + std::to_string(nm.back()) + " nm");
    if (!nm.empty() && *first - nm.back() > 20 && *first > 420 && nm.back() < 680)
      return refuse(at, 1,
                    "the wavelengths jump from " + std::to_string(std::lround(nm.back())) + " nm to " +
                        std::to_string(std::lround(*first)) + " nm",
                    "steps of at most 20 nm");
    if (nm.size() >= kMaxRows) return refuse(at, 1, "the file has too many lines", "at most 5000");
    nm.push_back(*first);
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const auto v = number(fields[c + 1]);
      if (!v)
        return refuse(at, static_cast<int>(c) + 2, "'" + std::string(fields[c + 1].substr(0, 40)) + "' is not a number",
                      "a reflectance, with a point for the decimals");
      largest = std::max(largest, *v);
      columns[c].push_back(*v);
    }
  }
  if (nm.size() < 2) return refuse(at, 0, "the file holds " + std::to_string(nm.size()) + " wavelengths", "a spectrum");
  if (nm.front() > 420 || nm.back() < 680)
    return refuse(at, 0,
                  "the spectrum runs from " + std::to_string(std::lround(nm.front())) + " to " +
                      std::to_string(std::lround(nm.back())) + " nm",
                  "420 to 680 nm at least");
  percent = percent || largest > 2;
  std::vector<Sample> out;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    for (double& v : columns[c]) {
      if (percent) v /= 100;
      // A little below 0 is the noise of a dark sample; above 1.5 it is no reflectance.
      if (!(v >= -0.02 && v <= 1.5))
        return refuse(0, static_cast<int>(c) + 2,
                      "column '" + names[c].substr(0, 40) + "' holds a reflectance of " + std::to_string(v),
                      "0 to 1 (or 0 to 100 percent)");
      v = std::max(v, 0.0);
    }
    auto spectrum = resample(nm, columns[c]);
    if (!spectrum) return refuse(0, 0, spectrum.error().what, spectrum.error().expected);
    for (double& v : spectrum->values) v = std::max(v, 0.0);  // the quintic may swing below a dark sample
    out.push_back({names[c], *spectrum});
  }
  return out;
}

Result<std::vector<Sample>> read_reflectance_file(const std::string& path) {
  const auto text = reading::read_text(path, kMaxBytes);
  if (!text) return tl::unexpected(text.error());
  if (auto problem = reading::refuse(*text, path, kMaxBytes)) return tl::unexpected(std::move(*problem));
  return read_reflectances(*text, path);
}

}  // namespace tackcloth::color
