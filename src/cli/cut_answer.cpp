#include "cli/cut_answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/clock.h"

namespace tackcloth::cli {
namespace {

using cutting::Answer;
using cutting::Length;

std::string say(Length um, units::System system) {
  return units::format_length(static_cast<double>(um) / 1000, system);
}

std::string buying(const Answer& answer, units::System system) {
  if (answer.by_sheet)
    return answer.sheets == 0 ? "Buy nothing: all of it comes from remnants."
                              : fmt::format("Buy {} {}.", answer.sheets, answer.sheets == 1 ? "sheet" : "sheets");
  if (answer.tenths_m == 0)
    return answer.missing.empty() ? "Buy nothing: all of it comes from remnants." : "There is not enough of it.";
  const std::string metres = cutting::metres_text(answer.tenths_m), yards = cutting::yards_text(answer.eighths_yd);
  return "Buy " + (system == units::System::us ? yards + " (" + metres + ")" : metres + " (" + yards + ")") + ".";
}

std::string how_good(const Answer& answer, units::System system) {
  if (!answer.missing.empty()) {
    std::string words = "No place was found for ";
    for (std::size_t k = 0; k < answer.missing.size(); ++k) words += (k > 0 ? ", " : "") + answer.missing[k];
    return words + ". Give the width of a roll, or another remnant.";
  }
  if (answer.by_sheet)
    return answer.proven ? "No fewer new sheets will do: proven."
                         : fmt::format("No layout takes fewer than {}.", answer.lower_bound);
  if (answer.length == 0) return "";
  if (answer.proven) return "No layout is shorter: proven.";
  return fmt::format("No layout is shorter than {}: this one is at most {:.1f} % longer.",
                     say(answer.lower_bound, system),
                     100.0 * static_cast<double>(answer.length - answer.lower_bound) /
                         static_cast<double>(std::max<Length>(1, answer.lower_bound)));
}

std::string place_words(const cutting::Laid& p, int number, const std::string& label, const std::string& ground,
                        units::System system) {
  return fmt::format("{}  {}: cut {} × {}, {} from the left edge, {} from the cut end{}{}{}", number, label,
                     say(p.width, system), say(p.height, system), say(p.x, system), say(p.y, system),
                     ground.empty() ? "" : " of " + ground, p.turned ? ", turned" : "",
                     p.upside_down ? ", the other end up" : "");
}

}  // namespace

std::vector<std::string> words_of(const Answer& answer, units::System system) {
  std::vector<std::string> words{buying(answer, system)};
  if (answer.length > 0)
    words.push_back("The parts take " + say(answer.length, system) +
                    (answer.spare > 0 ? " and the pattern " + say(answer.spare, system) + " more" : "") + ".");
  if (std::string good = how_good(answer, system); !good.empty()) words.push_back(std::move(good));
  words.insert(words.end(), answer.notes.begin(), answer.notes.end());
  return words;
}

sheet::CutDrawing drawing_of(const Answer& answer, const std::string& title, units::System system) {
  sheet::CutDrawing drawing;
  drawing.title = title;
  drawing.says = words_of(answer, system);
  drawing.system = system;
  int number = 0, sheet = 0;
  for (const cutting::UsedGround& ground : answer.grounds) {
    sheet::CutGround drawn;
    if (!ground.fresh)
      drawn.name = "Remnant: " + ground.id;
    else if (answer.by_sheet)
      drawn.name = "New sheet " + std::to_string(++sheet);
    else if (answer.grounds.size() > 1)
      drawn.name = "Roll";
    const shape::Box box = shape::bounds(ground.region);
    drawn.width = box.right;
    drawn.height = box.top;
    drawn.region = ground.region;
    for (const cutting::Laid& p : ground.parts) {
      const cutting::Wanted& part = answer.parts[static_cast<std::size_t>(p.part)];
      const std::string label = part.id + (part.quantity > 1 ? " " + std::to_string(p.copy + 1) : "");
      const auto mm = [](Length um) { return static_cast<double>(um) / 1000; };
      drawn.parts.push_back({label, mm(p.x), mm(p.y), mm(p.width), mm(p.height), p.turned, p.region});
      drawing.list.push_back(place_words(p, ++number, label, drawn.name, system));
    }
    drawing.grounds.push_back(std::move(drawn));
  }
  return drawing;
}

nlohmann::ordered_json json_of(const Answer& answer, const sheet::CutDrawing& drawing) {
  using nlohmann::ordered_json;
  const auto mm = [](Length um) { return static_cast<double>(um) / 1000; };
  ordered_json places = ordered_json::array(), grounds = ordered_json::array();
  int number = 0;
  for (std::size_t g = 0; g < answer.grounds.size(); ++g) {
    const sheet::CutGround& drawn = drawing.grounds[g];
    grounds.push_back({{"name", drawn.name},
                       {"new", answer.grounds[g].fresh},
                       {"width_mm", drawn.width},
                       {"length_mm", drawn.height}});
    for (std::size_t i = 0; i < drawn.parts.size(); ++i) {
      const cutting::Laid& p = answer.grounds[g].parts[i];
      places.push_back({{"number", ++number},
                        {"id", answer.parts[static_cast<std::size_t>(p.part)].id},
                        {"copy", p.copy + 1},
                        {"ground", g},
                        {"x_mm", drawn.parts[i].x},
                        {"y_mm", drawn.parts[i].y},
                        {"width_mm", drawn.parts[i].width},
                        {"height_mm", drawn.parts[i].height},
                        {"turned", p.turned},
                        {"upside_down", p.upside_down}});
    }
  }
  return {{"height_mm", mm(answer.length)},
          {"lower_bound_mm", answer.by_sheet ? 0 : mm(answer.lower_bound)},
          {"proven", answer.proven},
          {"spare_mm", mm(answer.spare)},
          {"length_mm", mm(answer.length + answer.spare)},
          {"buy_m", answer.tenths_m / 10.0},
          {"buy_yd", answer.eighths_yd / 8.0},
          {"buy_sheets", answer.sheets},
          {"lower_bound_sheets", answer.by_sheet ? answer.lower_bound : 0},
          {"grounds", grounds},
          {"places", places},
          {"missing", answer.missing},
          {"notes", answer.notes}};
}

std::string places_csv(const Answer& answer, const sheet::CutDrawing& drawing) {
  const auto quoted = [](const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
  };
  std::string text = "id,copy,x,y,width,height,turned,ground\r\n";
  for (std::size_t g = 0; g < answer.grounds.size(); ++g)
    for (const cutting::Laid& p : answer.grounds[g].parts)
      text += fmt::format("{},{},{},{},{},{},{},{}\r\n", quoted(answer.parts[static_cast<std::size_t>(p.part)].id),
                          p.copy + 1, p.x, p.y, p.width, p.height, p.turned ? "yes" : "no",
                          quoted(drawing.grounds[g].name));
  return text;
}

Result<std::string> file_of(const Answer& answer, const sheet::CutDrawing& drawing, const std::string& kind,
                            sheet::Paper paper, const sheet::Tongue& tongue) {
  if (kind == "svg") return sheet::cut_svg(drawing);
  if (kind == "dxf") return sheet::cut_dxf(drawing);
  if (kind == "csv") return places_csv(answer, drawing);
  auto pdf = sheet::cut_pdf(drawing, paper, wall_clock(), tongue);
  if (!pdf) return tl::unexpected(pdf.error());
  return std::move(pdf->pdf);
}

}  // namespace tackcloth::cli
