#include "drawn_page.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "read_back.h"

namespace tackcloth::sheet {

namespace {
constexpr double kMm = 25.4 / 72;

std::vector<std::vector<At>> points_of(const std::string& d, const std::array<double, 6>& m, bool& curved) {
  std::vector<std::vector<At>> lines;
  std::vector<double> numbers;
  const auto place = [&](std::size_t i) {
    const double x = numbers[i], y = numbers[i + 1];
    return At{(m[0] * x + m[2] * y + m[4]) * kMm, (m[1] * x + m[3] * y + m[5]) * kMm};
  };
  const char* at = d.c_str();
  while (*at) {
    const char command = *at++;
    if (command == ' ') continue;
    numbers.clear();
    for (;;) {
      char* end = nullptr;
      const double value = std::strtod(at, &end);
      if (end == at) break;
      numbers.push_back(value);
      at = end;
    }
    if (command == 'M') lines.push_back({place(0)});
    if (command == 'L') lines.back().push_back(place(0));
    if (command == 'Z' && !lines.empty()) lines.back().push_back(lines.back().front());
    if (command == 'C') {
      curved = true;
      const At a = lines.back().back(), b = place(0), c = place(2), e = place(4);
      for (int k = 1; k <= 64; ++k) {
        const double t = k / 64.0, s = 1 - t;
        lines.back().push_back({s * s * s * a.x + 3 * s * s * t * b.x + 3 * s * t * t * c.x + t * t * t * e.x,
                                s * s * s * a.y + 3 * s * s * t * b.y + 3 * s * t * t * c.y + t * t * t * e.y});
      }
    }
  }
  // A closed path is followed by an empty move in poppler's output.
  std::erase_if(lines, [](const auto& line) { return line.size() < 2; });
  return lines;
}

}  // namespace

double apart(At a, At b) { return std::hypot(a.x - b.x, a.y - b.y); }

DrawnPage::DrawnPage(const std::string& pdf, int page) {
  const std::string number = std::to_string(page);
  svg_ =
      output_of_command("pdftocairo -svg -origpagesizes -noshrink -f " + number + " -l " + number + " " + pdf + " -");
  const auto size = matches(svg_, "width=\"([0-9.]+)pt\" height=\"([0-9.]+)pt\"");
  if (!size.empty()) paper_ = {std::stod(size[0][1]) * kMm, std::stod(size[0][2]) * kMm};
  read_clips();
  read_strokes();
}

std::vector<Stroke> DrawnPage::strokes(double width_pt) const {
  std::vector<Stroke> found;
  for (const Stroke& stroke : strokes_)
    if (std::abs(stroke.width_pt - width_pt) < 1e-3) found.push_back(stroke);
  return found;
}

void DrawnPage::read_clips() {
  for (const auto& found : matches(svg_, "<clipPath id=\"([^\"]+)\">\\s*<path[^>]* d=\"([^\"]*)\"")) {
    bool curved = false;
    Stroke box;
    box.low = {1e9, 1e9};
    box.high = {-1e9, -1e9};
    for (const auto& line : points_of(found[2], {1, 0, 0, 1, 0, 0}, curved))
      for (const At& p : line) {
        box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y)};
        box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y)};
      }
    clips_[found[1]] = box;
  }
}

// Line by line: poppler writes one element a line.
void DrawnPage::read_strokes() {
  std::string clip;
  std::size_t from = 0;
  while (from < svg_.size()) {
    std::size_t to = svg_.find('\n', from);
    if (to == std::string::npos) to = svg_.size();
    const std::string line = svg_.substr(from, to - from);
    from = to + 1;
    if (line.rfind("<g clip-path=\"url(#", 0) == 0) clip = line.substr(19, line.find(')') - 19);
    if (line.rfind("</g>", 0) == 0) clip.clear();
    const std::size_t width = line.find("stroke-width:");
    if (width == std::string::npos) continue;
    Stroke stroke;
    stroke.width_pt = std::strtod(line.c_str() + width + 13, nullptr);
    std::array<double, 6> matrix{1, 0, 0, 1, 0, 0};
    const std::size_t turn = line.find("matrix(");
    if (turn != std::string::npos) {
      const char* at = line.c_str() + turn + 7;
      for (double& value : matrix) {
        char* end = nullptr;
        value = std::strtod(at, &end);
        at = end + 1;
      }
    }
    const std::size_t d = line.find(" d=\"") + 4;
    stroke.lines = points_of(line.substr(d, line.find('"', d) - d), matrix, stroke.curved);
    if (const auto found = clips_.find(clip); found != clips_.end()) {
      stroke.low = found->second.low;
      stroke.high = found->second.high;
    }
    strokes_.push_back(std::move(stroke));
  }
}

}  // namespace tackcloth::sheet
