// arc: an arc from what can be measured at the bench, and where the trammel is set.
#include <fmt/format.h>

#include <cmath>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/command.h"
#include "shape/draw.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

constexpr int kParts = 8;  // heights along the chord, at every eighth

struct ArcCommand {
  std::string chord, rise, radius, units;
  std::vector<std::string> through;
  bool greater = false, json = false;
};

bool given_in_inches(const ArcCommand& command) {
  std::string all = command.chord + command.rise + command.radius;
  for (const std::string& point : command.through) all += point;
  return all.find("in") != std::string::npos || all.find("ft") != std::string::npos ||
         all.find_first_of("\"'") != std::string::npos || all.find("foot") != std::string::npos;
}

Result<shape::Point> point_of(const std::string& text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string::npos)
    return tl::unexpected(Problem{"", 0, 0, "--through: '" + text.substr(0, 60) + "' is no point", "x,y as 12cm,3cm",
                                  "measure across and up from one corner"});
  const auto x = units::parse_length_mm(text.substr(0, comma)), y = units::parse_length_mm(text.substr(comma + 1));
  if (!x) return tl::unexpected(about("--through", x.error()));
  if (!y) return tl::unexpected(about("--through", y.error()));
  return shape::Point{*x, *y};
}

Results<shape::Arc> arc_of(const ArcCommand& command) {
  std::vector<Problem> problems;
  const bool chord_given = !command.chord.empty(), rise_given = !command.rise.empty(),
             radius_given = !command.radius.empty();
  const bool by_points = !command.through.empty();
  if (by_points ? chord_given || rise_given || radius_given : !chord_given || rise_given == radius_given)
    return tl::unexpected(
        std::vector<Problem>{{"", 0, 0, "these measures do not make one arc",
                              "--chord and --rise, --chord and --radius, or --through with three points",
                              "measure the chord from end to end and the rise in its middle"}});
  if (by_points) {
    std::vector<shape::Point> points;
    for (const std::string& text : command.through) {
      const auto point = point_of(text);
      if (point)
        points.push_back(*point);
      else
        problems.push_back(point.error());
    }
    if (!problems.empty()) return tl::unexpected(std::move(problems));
    auto arc = shape::arc_through(points[0], points[1], points[2]);
    if (!arc) return tl::unexpected(std::vector<Problem>{arc.error()});
    return *arc;
  }
  double chord = 0, rise = 0, radius = 0;
  take("--chord", command.chord, units::parse_length_mm, chord, problems);
  take("--rise", command.rise, units::parse_length_mm, rise, problems);
  take("--radius", command.radius, units::parse_length_mm, radius, problems);
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  auto arc = rise_given ? shape::arc_by_rise(chord, rise) : shape::arc_by_radius(chord, radius, command.greater);
  if (!arc) return tl::unexpected(std::vector<Problem>{arc.error()});
  return *arc;
}

void run_arc(const ArcCommand& command, Context& context) {
  const auto arc = arc_of(command);
  if (!arc) {
    context.exit_code = report(arc.error());
    return;
  }
  // From the middle of the chord to the centre, away from the arc.
  const double set_back = arc->radius_mm - arc->rise_mm;
  const std::vector<double> heights = shape::arc_heights_mm(*arc, kParts);
  if (command.json) {
    std::cout << nlohmann::ordered_json{{"radius_mm", arc->radius_mm}, {"sweep_deg", arc->sweep_deg},
                                        {"length_mm", arc->length_mm}, {"chord_mm", arc->chord_mm},
                                        {"rise_mm", arc->rise_mm},     {"center", {arc->center.x, arc->center.y}},
                                        {"set_back_mm", set_back},     {"heights_mm", heights}}
                     .dump(2)
              << "\n";
    return;
  }
  const units::System system = command.units == "us" || (command.units.empty() && given_in_inches(command))
                                   ? units::System::us
                                   : units::System::metric;
  const auto length = [&](double mm) {
    return system == units::System::us ? units::format_length(mm, system) : fmt::format("{:.1f} mm", mm);
  };
  std::cout << fmt::format("radius       {}\nsweep        {:.2f}°\narc length   {}\nchord        {}\nrise         {}\n",
                           length(arc->radius_mm), arc->sweep_deg, length(arc->length_mm), length(arc->chord_mm),
                           length(arc->rise_mm));
  std::cout << "Set the trammel to " << length(arc->radius_mm) << ", its point ";
  if (std::abs(set_back) < 0.05)
    std::cout << "in the middle of the chord.\n";
  else
    std::cout << length(std::abs(set_back)) << " from the middle of the chord, square to it, "
              << (set_back > 0 ? "on the side away from the arc.\n" : "on the side of the arc.\n");
  if (!command.through.empty())
    std::cout << "From where the points are measured the centre lies at " << length(arc->center.x) << ", "
              << length(arc->center.y) << ".\n";
  if (heights.empty()) return;
  std::cout << "Centre out of reach? Bend a batten through these heights above the chord, at every eighth of it:\n ";
  std::string line;
  for (const double height : heights) line += (line.empty() ? "  " : ", ") + length(height);
  std::cout << line << "\n";
}

}  // namespace

void add_arc(CLI::App& app, Context& context) {
  auto command = std::make_shared<ArcCommand>();
  CLI::App* sub = app.add_subcommand("arc", "An arc from chord and rise, chord and radius, or three points");
  sub->add_option("--chord", command->chord, "from end to end, 60cm or \"23 5/8 in\"");
  sub->add_option("--rise", command->rise, "from the middle of the chord to the arc");
  sub->add_option("--radius", command->radius, "of the circle");
  sub->add_flag("--greater", command->greater, "with --radius: the arc that goes the long way round");
  sub->add_option("--through", command->through, "three points of any round thing, end, middle, end: x,y x,y x,y")
      ->expected(3);
  sub->add_option("--units", command->units, "metric or us; left out: as the measures are given")
      ->check(CLI::IsMember({"metric", "us"}));
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { run_arc(*command, context); });
}

}  // namespace tackcloth::cli
