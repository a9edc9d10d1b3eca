#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <set>

#include "air/vapour.h"
#include "cli/arguments.h"
#include "cli/command.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

struct AirCommand {
  std::string product, wet, area, method, temp = "21C", rh = "50%", volume = "40m3", fan, air = "0.1m/s", house, door;
  std::vector<std::string> coats;
  double ach = 0.5;
  double hours = 24;
  bool json = false;
};

struct AskedCoat {
  film::Coat coat;
  catalog::Application application;
  double area_m2 = 0, start_h = 0;
};

struct Asked {
  std::vector<AskedCoat> coats;
  climate::Air climate;
  air::Room room;
};

// "75um" or "3mil", or a bare number of micrometres: the option's name carries the unit.
Result<double> parse_wet_um(std::string_view text) {
  if (!text.empty() &&
      std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c) || c == '.'; }))
    return units::parse_length_mm(std::string(text) + " um").transform([](double mm) { return mm * 1000; });
  return units::parse_length_mm(text).transform([](double mm) { return mm * 1000; });
}

// "spray gun" and "spray_gun" are one.
std::string spaced(std::string text) {
  std::replace(text.begin(), text.end(), '_', ' ');
  return lower(std::move(text));
}

// The parts of a coat as typed; those left out are empty.
struct CoatText {
  std::string option, product, area, wet, start, method;
};

CoatText split_coat(const std::string& text) {
  CoatText coat{"--coat", "", "", "", "", ""};
  std::string* parts[] = {&coat.product, &coat.area, &coat.wet, &coat.start, &coat.method};
  std::size_t at = 0;
  for (std::size_t i = 0; at <= text.size(); ++i) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    std::string part = text.substr(at, comma - at);
    part.erase(0, part.find_first_not_of(' '));
    if (i < 5)
      *parts[i] = part;
    else
      coat.method += "," + part;  // too many: not a method, and said so
    at = comma + 1;
  }
  return coat;
}

void read_coat(const CoatText& text, const catalog::Catalog& catalog, Asked& asked, std::vector<Problem>& problems) {
  const bool one = text.option.empty();
  const auto option = [&](const char* own) { return one ? std::string(own) : text.option + " " + text.product; };
  const catalog::Product* product = find_product(catalog, text.product);
  if (!product) {
    problems.push_back(no_such_product(catalog, text.product));
    return;
  }
  if (!catalog::leaves_film(*product)) {
    problems.push_back({"", 0, 0, option("--product") + ": '" + text.product + "' does not dry as a film",
                        "a stain, sealer, primer, paint, clear, oil or wax",
                        "its cautions are shown by `tackcloth plan`"});
    return;
  }
  AskedCoat coat;
  coat.coat.product = product;
  if (const auto* usual = catalog::usual(*product)) coat.application = *usual;
  if (!text.method.empty()) {
    const auto named = std::find_if(product->applications.begin(), product->applications.end(), [&](const auto& a) {
      return spaced(catalog::to_text(a.method)) == spaced(text.method);
    });
    if (named == product->applications.end()) {
      std::string all;
      for (const auto& a : product->applications) all += (all.empty() ? "" : ", ") + catalog::to_text(a.method);
      problems.push_back({"", 0, 0, option("--method") + ": '" + product->id + "' is not put on by " + text.method,
                          "one of " + all, "leave it out for the usual one"});
      return;
    }
    coat.application = *named;
  }
  coat.coat.wet_um = coat.application.wet_um > 0 ? coat.application.wet_um : product->label.wet_um;
  take(option("--wet-um").c_str(), text.wet, parse_wet_um, coat.coat.wet_um, problems);
  take(option("--area").c_str(), text.area, units::parse_area_m2, coat.area_m2, problems);
  take(option("--start").c_str(), text.start, units::parse_duration_h, coat.start_h, problems);
  if (!(coat.coat.wet_um >= 1 && coat.coat.wet_um <= 5000))
    problems.push_back({"", 0, 0, option("--wet-um") + ": the wet film is " + std::to_string(coat.coat.wet_um) + " um",
                        "between 1 and 5000 um", "a brushed coat is about 75 um"});
  if (!(coat.area_m2 > 0 && coat.area_m2 <= 1000) && problems.empty())
    problems.push_back({"", 0, 0, option("--area") + ": the coated area is " + std::to_string(coat.area_m2) + " m²",
                        "more than 0 and at most 1000 m²", "write it as 2m2 or 21ft2"});
  if (!(coat.start_h >= 0 && coat.start_h <= 720))
    problems.push_back({"", 0, 0, option("--start") + ": it starts after " + text.start, "0 to 720 h",
                        "hours after the first coat: 0h, 90min"});
  asked.coats.push_back(coat);
}

std::vector<Problem> read_arguments(const AirCommand& command, const catalog::Catalog& catalog, Asked& asked) {
  std::vector<Problem> problems;
  if (command.product.empty() && command.coats.empty())
    problems.push_back({"", 0, 0, "no coat is given", "--product NAME --area 2m2, or --coat \"NAME,2m2\" for each",
                        "name what is put on and how much of it"});
  if (!command.product.empty())
    read_coat({"", command.product, command.area, command.wet, "", command.method}, catalog, asked, problems);
  for (const auto& text : command.coats) read_coat(split_coat(text), catalog, asked, problems);
  take("--temp", command.temp, units::parse_temperature_c, asked.climate.temp_c, problems);
  take("--rh", command.rh, units::parse_fraction, asked.climate.rh, problems);
  take("--air", command.air, units::parse_speed_m_s, asked.climate.speed_m_s, problems);
  double litres = asked.room.volume_m3 * 1000, house_litres = 0;
  take("--volume", command.volume, units::parse_volume_l, litres, problems);
  take("--fan", command.fan, units::parse_flow_m3_h, asked.room.fan_m3_h, problems);
  take("--house", command.house, units::parse_volume_l, house_litres, problems);
  take("--door", command.door, units::parse_flow_m3_h, asked.room.door_m3_h, problems);
  asked.room.volume_m3 = litres / 1000;
  asked.room.house_m3 = house_litres / 1000;
  asked.room.air_changes_per_h = command.ach;
  asked.room.bench_zone_m3 = std::min(asked.room.bench_zone_m3, asked.room.volume_m3 / 3);
  if (!problems.empty()) return problems;
  if (const auto checked = climate::check_air(asked.climate); !checked) problems.push_back(checked.error());
  if (auto trouble = air::trouble_with(asked.room)) problems.push_back(std::move(*trouble));
  if (!(command.hours >= 1 && command.hours <= 720))
    problems.push_back({"", 0, 0, "--hours is " + std::to_string(command.hours), "between 1 and 720", "24 is a day"});
  return problems;
}

nlohmann::ordered_json number(double value) {
  return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

nlohmann::ordered_json json_of(const Asked& asked, const air::Verdict& verdict, const air::Course& course) {
  nlohmann::ordered_json json{{"worst_component", verdict.worst_component},
                              {"peak_ppm", verdict.peak_ppm},
                              {"peak_mg_m3", verdict.peak_mg_m3},
                              {"twa_ppm", verdict.twa_ppm},
                              {"stel_ppm", verdict.stel_ppm},
                              {"mixture_share", verdict.mixture_share},
                              {"stel_share", verdict.stel_share},
                              {"peak_share", verdict.peak_share},
                              {"room_share", verdict.room_share},
                              {"house_share", verdict.house_share},
                              {"lel_share", verdict.lel_share},
                              {"reentry_h", number(verdict.reentry_h)},
                              {"fan_needed_m3_h", number(verdict.fan_needed_m3_h)}};
  auto coats = nlohmann::ordered_json::array();
  for (const auto& coat : asked.coats)
    coats.push_back({{"product", coat.coat.product->id},
                     {"method", catalog::to_text(coat.application.method)},
                     {"area_m2", coat.area_m2},
                     {"wet_um", coat.coat.wet_um},
                     {"start_h", coat.start_h}});
  json["coats"] = std::move(coats);
  auto findings = nlohmann::ordered_json::array();
  for (const auto& finding : verdict.findings)
    findings.push_back({{"rule", finding.rule},
                        {"severity", catalog::to_text(finding.severity)},
                        {"reason", finding.reason},
                        {"mend", finding.mend},
                        {"source", finding.source}});
  json["findings"] = std::move(findings);
  json["hours"] = course.hours;
  auto parts = nlohmann::ordered_json::array();
  for (std::size_t c = 0; c < course.components.size(); ++c) {
    nlohmann::ordered_json part{{"component", course.components[c]}};
    for (const auto& vapour : verdict.vapours)
      if (vapour.component == course.components[c]) {
        part["peak_ppm"] = vapour.peak_ppm;
        part["twa_ppm"] = vapour.twa_ppm;
        part["stel_ppm"] = vapour.stel_ppm;
        part["twa_limit_ppm"] = vapour.twa_limit_ppm;
        part["stel_limit_ppm"] = vapour.stel_limit_ppm;
        part["limit_source"] = vapour.limit_source;
      }
    part["ppm_bench"] = course.ppm_bench[c];
    part["ppm_room"] = course.ppm_room[c];
    parts.push_back(std::move(part));
  }
  json["components"] = std::move(parts);
  return json;
}

// Vapour at the bench over time, one row a step, as a bar.
void draw(const air::Course& course, const air::VapourShare& worst) {
  const auto found = std::find(course.components.begin(), course.components.end(), worst.component);
  if (found == course.components.end()) return;
  const auto& ppm = course.ppm_bench[static_cast<std::size_t>(found - course.components.begin())];
  const double most = *std::max_element(ppm.begin(), ppm.end());
  if (!(most > 0)) return;
  constexpr int kRows = 16, kWide = 48;
  std::printf("\n%s at the bench, ppm; over %.3g (8 h limit) marked !\n", worst.component.c_str(), worst.twa_limit_ppm);
  std::size_t at = 0;
  for (int row = 1; row <= kRows; ++row) {
    // Quadratic steps: the first hours are the ones that matter.
    const double until = course.hours.back() * row * row / (kRows * kRows);
    double highest = 0;
    for (; at < course.hours.size() && course.hours[at] <= until + 1e-9; ++at) highest = std::max(highest, ppm[at]);
    const int bar = static_cast<int>(std::lround(highest / most * kWide));
    std::printf("%8s %s%s %.3g%s\n", units::format_hours(until).c_str(),
                std::string(static_cast<std::size_t>(bar), '#').c_str(), bar == 0 ? "." : "", highest,
                highest > worst.twa_limit_ppm ? " !" : "");
  }
}

void print_text(const air::Verdict& verdict, const air::Course& course) {
  if (verdict.worst_component.empty()) {
    std::printf("no solvent vapour\n");
  } else {
    std::printf("worst vapour     %s\n", verdict.worst_component.c_str());
    std::printf("peak at bench    %.3g ppm (%.3g mg/m³)\n", verdict.peak_ppm, verdict.peak_mg_m3);
    std::printf("mean over 8 h    %.3g ppm, 15 min %.3g ppm\n", verdict.twa_ppm, verdict.stel_ppm);
    std::printf("all vapours      %.2f of their limits over 8 h\n", verdict.mixture_share);
    std::printf("ignition         %.1f %% of the lower explosive limit\n", 100 * verdict.lel_share);
    if (std::isfinite(verdict.reentry_h))
      std::printf("go back in after %s\n", units::format_hours(std::ceil(verdict.reentry_h * 60) / 60).c_str());
    else
      std::printf("go back in       not within the time looked at\n");
    if (std::isfinite(verdict.fan_needed_m3_h))
      std::printf("fan needed       %.0f m³/h\n", std::ceil(verdict.fan_needed_m3_h));
    else
      std::printf("fan needed       none is enough: draw the air off at the piece\n");
    for (const auto& vapour : verdict.vapours) {
      std::printf("  %-18s peak %.3g, 8 h %.3g of %.3g, 15 min %.3g of %.3g ppm [%s]\n", vapour.component.c_str(),
                  vapour.peak_ppm, vapour.twa_ppm, vapour.twa_limit_ppm, vapour.stel_ppm, vapour.stel_limit_ppm,
                  vapour.limit_source.c_str());
    }
    for (const auto& vapour : verdict.vapours)
      if (vapour.component == verdict.worst_component) draw(course, vapour);
  }
  for (const auto& finding : verdict.findings)
    std::printf("\n%s: %s\n  %s\n  [%s]\n", catalog::to_text(finding.severity).c_str(), finding.reason.c_str(),
                finding.mend.c_str(), finding.source.c_str());
}

int run(const AirCommand& command, const Context& context) {
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return report(catalog.error());
  Asked asked;
  if (const auto problems = read_arguments(command, *catalog, asked); !problems.empty()) return report(problems);
  const film::Model model(*catalog);
  const auto climate = climate::ClimateSeries::constant(asked.climate);
  std::vector<film::Model::Curve> curves;
  std::vector<const catalog::Product*> products;
  for (const auto& coat : asked.coats) {
    curves.push_back(model.curve(coat.coat, climate, Instant{}, command.hours));
    products.push_back(coat.coat.product);
  }
  std::vector<air::Source> sources;
  for (std::size_t i = 0; i < asked.coats.size(); ++i) {
    const AskedCoat& coat = asked.coats[i];
    sources.push_back({&curves[i], coat.area_m2, coat.start_h,
                       air::sprayed(*coat.coat.product, coat.application, coat.coat.wet_um, coat.area_m2)});
  }
  air::Verdict verdict = air::judge(asked.room, sources, *catalog, command.hours);
  std::set<std::string> said;
  for (const auto& finding : verdict.findings) said.insert(finding.rule);
  for (auto& finding : air::usual_cautions(products))
    if (said.insert(finding.rule).second) verdict.findings.push_back(std::move(finding));
  const air::Course course = air::vapour(asked.room, sources, *catalog, command.hours);
  if (command.json)
    std::cout << json_of(asked, verdict, course).dump(2) << "\n";
  else
    print_text(verdict, course);
  const bool forbidden = std::any_of(verdict.findings.begin(), verdict.findings.end(), [](const catalog::Finding& f) {
    return f.severity == catalog::Severity::must_not;
  });
  return forbidden ? must_not : fine;
}

}  // namespace

void add_air(CLI::App& app, Context& context) {
  auto command = std::make_shared<AirCommand>();
  CLI::App* sub = app.add_subcommand("air", "Is the air safe: vapour of coats in a room against its limits");
  sub->add_option("--product", command->product, "product of the catalogue");
  sub->add_option("--area", command->area, "coated area: 2m2, 21ft2");
  sub->add_option("--wet-um", command->wet, "wet film in micrometres, or 3mil; the usual one if left out");
  sub->add_option("--method", command->method, "how it is put on, if not as usual: brush, spray gun, aerosol");
  sub->add_option("--coat", command->coats,
                  "another coat in the room, repeatable: \"NAME,2m2\" and if wanted wet film, start and method: "
                  "\"NAME,2m2,75um,90min,spray gun\"")
      ->take_all();
  sub->add_option("--temp", command->temp, "air temperature: 21C, 70F")->capture_default_str();
  sub->add_option("--rh", command->rh, "relative humidity: 50%")->capture_default_str();
  sub->add_option("--air", command->air, "air past the work: 0.1m/s")->capture_default_str();
  sub->add_option("--volume", command->volume, "of the room: 40m3, 1400ft3")->capture_default_str();
  sub->add_option("--ach", command->ach, "air changes an hour through leaks and windows")->capture_default_str();
  sub->add_option("--fan", command->fan, "fan that blows out: 120m3/h, 70cfm");
  sub->add_option("--house", command->house, "volume of the house behind the shop's door: 300m3");
  sub->add_option("--door", command->door, "air each way through that door: 30m3/h");
  sub->add_option("--hours", command->hours, "how long to look ahead")->capture_default_str();
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] { context.exit_code = run(*command, context); });
}

}  // namespace tackcloth::cli
