#include "color/css.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <optional>
#include <vector>

namespace tackcloth::color {

namespace {

constexpr std::size_t kLongest = 128;
constexpr double kLargest = 1e4;  // far outside any real colour: a slip of the pen

struct Number {
  double value = 0;
  std::string unit;  // "", "%", "deg", ...
};

tl::unexpected<Problem> refuse(std::string_view text, std::string what) {
  std::string shown(text.substr(0, 40));
  for (char& c : shown)
    if (std::iscntrl(static_cast<unsigned char>(c))) c = '?';
  if (text.size() > 40) shown += "...";
  return tl::unexpected<Problem>({"", 0, 0, "the colour '" + shown + "' can't be read: " + std::move(what),
                                  "lab(L a b), lch(L C h), oklab(L a b), oklch(L C h), rgb(r g b) or #rrggbb",
                                  "a measured colour is written lab(62 12 28)"});
}

std::optional<Number> number_of(std::string_view word) {
  if (word == "none") return Number{};
  if (word.starts_with('+')) word.remove_prefix(1);
  Number out;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), out.value);
  if (error != std::errc() || !std::isfinite(out.value) || std::abs(out.value) > kLargest) return std::nullopt;
  out.unit = std::string(end, word.data() + word.size());
  static constexpr std::string_view kUnits[] = {"", "%", "deg", "rad", "grad", "turn"};
  if (std::find(std::begin(kUnits), std::end(kUnits), out.unit) == std::end(kUnits)) return std::nullopt;
  return out;
}

// A percentage of `whole`, or the plain number; an angle has no place here.
std::optional<double> plain(const Number& n, double whole) {
  if (n.unit == "%") return n.value / 100 * whole;
  if (n.unit.empty()) return n.value;
  return std::nullopt;
}

std::optional<double> degrees(const Number& n) {
  if (n.unit.empty() || n.unit == "deg") return n.value;
  if (n.unit == "rad") return n.value * 180 / std::numbers::pi;
  if (n.unit == "grad") return n.value * 0.9;
  if (n.unit == "turn") return n.value * 360;
  return std::nullopt;
}

std::optional<Lab> from_hex(std::string_view digits) {
  if (digits.size() != 3 && digits.size() != 6) return std::nullopt;
  double v[3];
  const std::size_t wide = digits.size() / 3;
  for (std::size_t i = 0; i < 3; ++i) {
    unsigned n = 0;
    const char* first = digits.data() + i * wide;
    const auto [end, error] = std::from_chars(first, first + wide, n, 16);
    if (error != std::errc() || end != first + wide) return std::nullopt;
    v[i] = decode_srgb((wide == 1 ? n * 17 : n) / 255.0);
  }
  return lab_from_linear_rgb({v[0], v[1], v[2]});
}

using Three = std::array<double, 3>;

// The three components, the whole of a percentage given for each (CSS Color 4, sections 4.1, 9 and 10).
std::optional<Three> components(const std::vector<Number>& n, const Three& wholes, bool last_is_hue) {
  Three out{};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto v = last_is_hue && i == 2 ? degrees(n[i]) : plain(n[i], wholes[i]);
    if (!v) return std::nullopt;
    out[i] = *v;
  }
  return out;
}

double polar(double c, double h_deg, bool first) {
  const double h = h_deg * std::numbers::pi / 180;
  return std::max(c, 0.0) * (first ? std::cos(h) : std::sin(h));
}

std::optional<Lab> from_space(std::string_view space, const std::vector<Number>& n) {
  if (space == "lab") {
    const auto v = components(n, {100, 125, 125}, false);
    if (!v) return std::nullopt;
    return Lab{(*v)[0], (*v)[1], (*v)[2]};
  }
  if (space == "lch") {
    const auto v = components(n, {100, 150, 0}, true);
    if (!v) return std::nullopt;
    return Lab{(*v)[0], polar((*v)[1], (*v)[2], true), polar((*v)[1], (*v)[2], false)};
  }
  if (space == "oklab") {
    const auto v = components(n, {1, 0.4, 0.4}, false);
    if (!v) return std::nullopt;
    return lab_from_linear_rgb(linear_rgb_from_oklab({std::clamp((*v)[0], 0.0, 1.0), (*v)[1], (*v)[2]}));
  }
  if (space == "oklch") {
    const auto v = components(n, {1, 0.4, 0}, true);
    if (!v) return std::nullopt;
    return lab_from_linear_rgb(linear_rgb_from_oklab(
        {std::clamp((*v)[0], 0.0, 1.0), polar((*v)[1], (*v)[2], true), polar((*v)[1], (*v)[2], false)}));
  }
  if (space == "rgb" || space == "rgba") {
    const auto v = components(n, {255, 255, 255}, false);
    if (!v) return std::nullopt;
    double c[3];
    for (std::size_t i = 0; i < 3; ++i) c[i] = decode_srgb(std::clamp((*v)[i], 0.0, 255.0) / 255);
    return lab_from_linear_rgb({c[0], c[1], c[2]});
  }
  const auto v = components(n, {1, 1, 1}, false);
  if (!v) return std::nullopt;
  if (space == "srgb") return lab_from_linear_rgb({decode_srgb((*v)[0]), decode_srgb((*v)[1]), decode_srgb((*v)[2])});
  if (space == "srgb-linear") return lab_from_linear_rgb({(*v)[0], (*v)[1], (*v)[2]});
  if (space == "xyz-d50") return lab_from_xyz({(*v)[0], (*v)[1], (*v)[2]}, kD50);
  if (space == "xyz" || space == "xyz-d65") return lab_from_xyz(adapt({(*v)[0], (*v)[1], (*v)[2]}, kD65, kD50), kD50);
  return std::nullopt;
}

bool known(std::string_view space, bool inside_color) {
  static constexpr std::string_view kFunctions[] = {"lab", "lch", "oklab", "oklch", "rgb", "rgba"};
  static constexpr std::string_view kInside[] = {"srgb", "srgb-linear", "xyz", "xyz-d50", "xyz-d65"};
  return inside_color ? std::find(std::begin(kInside), std::end(kInside), space) != std::end(kInside)
                      : std::find(std::begin(kFunctions), std::end(kFunctions), space) != std::end(kFunctions);
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words(1);
  for (const char c : text) {
    if (c == '/') {
      words.push_back("/");
      words.emplace_back();
    } else if (c == ' ' || c == '\t' || c == ',') {
      if (!words.back().empty()) words.emplace_back();
    } else {
      words.back() += c;
    }
  }
  std::erase(words, "");
  return words;
}

}  // namespace

Result<Lab> parse_color(std::string_view given) {
  if (given.size() > kLongest) return refuse(given, "it is longer than 128 characters");
  std::string text(given);
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
  while (!text.empty() && blank(text.back())) text.pop_back();
  text.erase(text.begin(), std::find_if_not(text.begin(), text.end(), blank));
  if (text.empty()) return refuse(given, "it is empty");
  if (text.front() == '#') {
    if (const auto lab = from_hex(std::string_view(text).substr(1))) return *lab;
    return refuse(given, "after # stand 3 or 6 digits of 0-9 and a-f");
  }
  std::string space = "lab";
  std::string_view inside = text;
  if (const std::size_t open = text.find('('); open != std::string::npos) {
    if (text.back() != ')') return refuse(given, "the closing bracket is missing");
    space = text.substr(0, open);
    inside = std::string_view(text).substr(open + 1, text.size() - open - 2);
  }
  std::vector<std::string> words = words_of(inside);
  const bool function = space == "color";
  if (function) {
    if (words.empty()) return refuse(given, "it is empty");
    space = words.front();
    words.erase(words.begin());
  }
  if (!known(space, function)) return refuse(given, "there is no such notation as '" + space + "'");
  std::optional<Number> alpha;
  if (words.size() == 5 && words[3] == "/") {
    alpha = number_of(words[4]);
    if (!alpha) return refuse(given, "'" + words[4] + "' is not a number");
    words.resize(3);
  }
  if (words.size() == 4 && space.starts_with("rgb")) {  // the older form: rgba(r, g, b, a)
    alpha = number_of(words[3]);
    if (!alpha) return refuse(given, "'" + words[3] + "' is not a number");
    words.resize(3);
  }
  if (alpha && plain(*alpha, 1).value_or(0) < 1) return refuse(given, "a colour that lets the ground through");
  if (words.size() != 3)
    return refuse(given, "it has " + std::to_string(words.size()) + " numbers where 3 are expected");
  std::vector<Number> numbers;
  for (const std::string& word : words) {
    const auto n = number_of(word);
    if (!n) return refuse(given, "'" + word + "' is not a number");
    numbers.push_back(*n);
  }
  auto lab = from_space(space, numbers);
  if (!lab) return refuse(given, "a number has a unit that doesn't belong there");
  if (!std::isfinite(lab->l) || !std::isfinite(lab->a) || !std::isfinite(lab->b))
    return refuse(given, "a number is out of range");
  if (space == "lab" || space == "lch") lab->l = std::clamp(lab->l, 0.0, 100.0);  // CSS Color 4, section 9.3
  return *lab;
}

Srgb8 srgb8_from_lab(const Lab& d50) {
  const LinearRgb c = map_to_gamut(linear_rgb_from_lab(d50));
  const auto byte = [](double v) {
    return static_cast<unsigned char>(std::lround(255 * std::clamp(encode_srgb(v), 0.0, 1.0)));
  };
  return {byte(c.r), byte(c.g), byte(c.b)};
}

std::string to_css(const Lab& lab) {
  char text[64];
  std::snprintf(text, sizeof text, "lab(%.2f %.2f %.2f)", lab.l + 0.0, lab.a + 0.0, lab.b + 0.0);
  return text;
}

std::string to_hex(const Lab& d50) {
  const Srgb8 c = srgb8_from_lab(d50);
  char text[8];
  std::snprintf(text, sizeof text, "#%02x%02x%02x", c.r, c.g, c.b);
  return text;
}

}  // namespace tackcloth::color
