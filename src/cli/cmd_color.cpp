#include <cstdio>
#include <fstream>
#include <iostream>
#include <memory>

#include "cli/arguments.h"
#include "cli/color_json.h"
#include "cli/command.h"
#include "color/difference.h"
#include "color/estimate.h"
#include "color/hiding.h"
#include "color/metamerism.h"
#include "color/spectrum_csv.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

using nlohmann::ordered_json;

struct ColorCommand {
  std::vector<std::string> colors;
  std::string file, second_file, light = "D50", second = "A", observer = "2", column;
  std::string paint, over, wet = "100um", contrast, clear = "oil", wood, bare, dry;
  double tolerance = 1, years = 0;
  bool json = false, csv = false;
};

// ---- difference

// "L,a,b,L,a,b" and whatever follows.
Result<std::pair<color::Lab, color::Lab>> pair_of(const Line& line, const std::string& file) {
  double v[6];
  const char* at = line.text.c_str();
  for (double& number : v) {
    char* end = nullptr;
    number = std::strtod(at, &end);
    if (end == at || !std::isfinite(number))
      return tl::unexpected(Problem{file, line.number, static_cast<int>(at - line.text.c_str()) + 1,
                                    "a number is missing", "two colours: L,a,b,L,a,b", "one pair a line"});
    at = end;
    while (*at == ',' || *at == ';' || *at == ' ' || *at == '\t') ++at;
  }
  return std::pair{color::Lab{v[0], v[1], v[2]}, color::Lab{v[3], v[4], v[5]}};
}

int many_differences(const ColorCommand& command) {
  const auto lines = read_lines(command.file);
  if (!lines) return report({lines.error()});
  std::vector<double> answers;
  for (std::size_t i = 0; i < lines->size(); ++i) {
    const auto pair = pair_of((*lines)[i], command.file);
    if (!pair) {
      if (i == 0) continue;  // a head line
      return report({pair.error()});
    }
    answers.push_back(color::difference_2000(pair->first, pair->second));
  }
  if (command.json)
    std::cout << ordered_json{{"de00", answers}}.dump() << "\n";
  else
    for (const double answer : answers) std::printf("%.6f\n", answer);
  return fine;
}

int difference(const ColorCommand& command) {
  if (!command.file.empty()) return many_differences(command);
  std::vector<Problem> problems;
  if (command.colors.size() != 2)
    return report({{"", 0, 0, std::to_string(command.colors.size()) + " colours are given", "two, or --pairs FILE",
                    "tackcloth color difference 62,12,28 60,10,30"}});
  color::Lab a, b;
  take_color("first colour", command.colors[0], a, problems);
  take_color("second colour", command.colors[1], b, problems);
  if (!problems.empty()) return report(problems);
  const double de00 = color::difference_2000(a, b), de76 = color::difference_1976(a, b);
  if (command.json) {
    std::cout << ordered_json{{"de00", de00}, {"de76", de76}, {"first", to_json(a)}, {"second", to_json(b)}}.dump(2)
              << "\n";
    return fine;
  }
  const char* word = de00 < 0.5   ? "no eye tells them apart"
                     : de00 < 1   ? "hardly to be seen"
                     : de00 < 2   ? "seen by a trained eye, side by side"
                     : de00 < 3.5 ? "seen by most, side by side"
                     : de00 < 5   ? "seen at once"
                                  : "two different colours";  // common practice, no source
  std::printf("difference  %.2f (CIEDE2000): %s\nL %+.2f  a %+.2f  b %+.2f\n", de00, word, b.l - a.l, b.a - a.a,
              b.b - a.b);
  return fine;
}

// ---- convert

ordered_json all_spaces(const color::Lab& lab) {
  const color::Lch lch = color::lch_from_lab(lab);
  const color::Xyz d50 = color::xyz_from_lab(lab, color::kD50), d65 = color::adapt(d50, color::kD50, color::kD65);
  const color::LinearRgb rgb = color::linear_rgb_from_xyz(d65);
  const color::Oklab ok = color::oklab_from_linear_rgb(rgb);
  return {{"css", color::to_css(lab)},
          {"hex", color::to_hex(lab)},
          {"in_srgb", color::in_gamut(rgb)},
          {"lab", to_json(lab)},
          {"lch", {lch.l, lch.c, lch.h_deg}},
          {"xyz_d50", to_json(d50)},
          {"xyz_d65", to_json(d65)},
          {"oklab", {ok.l, ok.a, ok.b}},
          {"srgb", {color::encode_srgb(rgb.r), color::encode_srgb(rgb.g), color::encode_srgb(rgb.b)}},
          {"srgb_linear", {rgb.r, rgb.g, rgb.b}}};
}

int convert(const ColorCommand& command) {
  std::vector<Line> asked;
  for (const auto& text : command.colors) asked.push_back({0, text});
  if (!command.file.empty()) {
    const auto lines = read_lines(command.file);
    if (!lines) return report({lines.error()});
    asked.insert(asked.end(), lines->begin(), lines->end());
  }
  if (asked.empty())
    return report({{"", 0, 0, "no colour is given", "colours, or --file FILE", "tackcloth color convert '#b08050'"}});
  std::vector<ordered_json> answers;
  for (const Line& line : asked) {
    const auto lab = color::parse_color(line.text);
    if (!lab) {
      Problem problem = lab.error();
      if (line.number > 0) problem.file = command.file, problem.line = line.number;
      return report({problem});
    }
    answers.push_back(all_spaces(*lab));
  }
  if (command.csv) {
    std::printf(
        "hex,lab_l,lab_a,lab_b,lch_l,lch_c,lch_h,x_d65,y_d65,z_d65,oklab_l,oklab_a,oklab_b,srgb_r,srgb_g,srgb_b\n");
    for (const auto& c : answers) {
      std::printf("%s", c["hex"].get<std::string>().c_str());
      for (const char* space : {"lab", "lch", "xyz_d65", "oklab", "srgb"})
        for (const auto& v : c[space]) std::printf(",%.12g", v.get<double>());
      std::printf("\n");
    }
  } else if (command.json) {
    std::cout
        << (answers.size() == 1 ? answers[0] : ordered_json{{"colors", answers}}).dump(answers.size() == 1 ? 2 : -1)
        << "\n";
  } else {
    for (const auto& c : answers) {
      std::printf("%s  %s%s\n", c["hex"].get<std::string>().c_str(), c["css"].get<std::string>().c_str(),
                  c["in_srgb"].get<bool>() ? "" : "  (outside sRGB: the hex is the nearest look)");
      for (const char* space : {"lch", "oklab", "srgb", "xyz_d65", "xyz_d50"}) {
        const auto& v = c[space];
        std::printf("  %-8s %.4f %.4f %.4f\n", space, v[0].get<double>(), v[1].get<double>(), v[2].get<double>());
      }
    }
  }
  return fine;
}

// ---- spectrum, metamerism

Result<color::Viewer> viewer_of(const std::string& light, const std::string& observer) {
  const auto lamp = color::light_named(light);
  if (!lamp) return tl::unexpected(about("--light", lamp.error()));
  const auto eye = parse_observer(observer);
  if (!eye) return tl::unexpected(eye.error());
  return color::Viewer(*lamp, *eye);
}

ordered_json scaled(const color::Xyz& c) { return {100 * c.x, 100 * c.y, 100 * c.z}; }

int spectrum(const ColorCommand& command) {
  const auto viewer = viewer_of(command.light, command.observer);
  if (!viewer) return report({viewer.error()});
  const auto samples = color::read_reflectance_file(command.file);
  if (!samples) return report({samples.error()});
  std::vector<ordered_json> answers;
  for (const auto& sample : *samples) {
    if (!command.column.empty() && sample.name != command.column) continue;
    const color::Xyz xyz = viewer->xyz(sample.reflectance);
    const color::Lab lab = viewer->lab(sample.reflectance);
    answers.push_back({{"name", sample.name}, {"xyz", scaled(xyz)}, {"lab", to_json(lab)}});
  }
  if (answers.empty())
    return report({{command.file, 0, 0, "there is no column '" + command.column + "'", "a name of the head line",
                    "leave --column out for all"}});
  if (command.json) {
    ordered_json json{{"light", viewer->name()},
                      {"observer_deg", command.observer == "10" || command.observer == "1964" ? 10 : 2},
                      {"white_xyz", scaled(viewer->white())}};
    // One sample stands at the top; several in a list.
    if (answers.size() == 1) json.update(answers[0]);
    if (answers.size() > 1) json["samples"] = answers;
    std::cout << json.dump(2) << "\n";
  } else {
    for (const auto& a : answers) {
      const auto &l = a["lab"], &x = a["xyz"];
      std::printf("%-16s Lab %6.2f %6.2f %6.2f   XYZ %6.2f %6.2f %6.2f\n", a["name"].get<std::string>().c_str(),
                  l[0].get<double>(), l[1].get<double>(), l[2].get<double>(), x[0].get<double>(), x[1].get<double>(),
                  x[2].get<double>());
    }
    std::printf("under %s, %s degree observer\n", viewer->name().c_str(), command.observer.c_str());
  }
  return fine;
}

int metamerism(const ColorCommand& command) {
  const auto first = viewer_of(command.light, command.observer), second = viewer_of(command.second, command.observer);
  if (!first) return report({first.error()});
  if (!second) return report({second.error()});
  const auto a = color::read_reflectance_file(command.file), b = color::read_reflectance_file(command.second_file);
  if (!a) return report({a.error()});
  if (!b) return report({b.error()});
  const auto plain =
      color::metamerism(a->front().reflectance, b->front().reflectance, *first, *second, color::Correction::none);
  const auto index = color::metamerism(a->front().reflectance, b->front().reflectance, *first, *second);
  const auto shifted =
      color::metamerism(a->front().reflectance, b->front().reflectance, *first, *second, color::Correction::additive);
  if (command.json)
    std::cout << ordered_json{{"light", first->name()},
                              {"second", second->name()},
                              {"de00_light", plain.de00_at_reference},
                              {"de00_second", plain.de00},
                              {"index_multiplicative_de00", index.de00},
                              {"index_additive_de00", shifted.de00},
                              {"index_multiplicative_de76", index.de76}}
                     .dump(2)
              << "\n";
  else
    std::printf("under %s they differ by %.2f, under %s by %.2f; metamerism index %.2f\n", first->name().c_str(),
                plain.de00_at_reference, second->name().c_str(), plain.de00, index.de00);
  return fine;
}

// ---- hiding

int hiding(const ColorCommand& command, const Context& context) {
  const auto palette = color::load_palette(context.catalog_dir);
  if (!palette) return report(palette.error());
  std::vector<Problem> problems;
  color::Lab wanted, old;
  double wet_mm = 0.1, contrast = 0;
  take_color("--paint", command.paint, wanted, problems);
  take_color("--over", command.over, old, problems);
  take("--wet", command.wet, units::parse_length_mm, wet_mm, problems);
  take("--contrast", command.contrast, units::parse_fraction, contrast, problems);
  if (!(wet_mm >= 0.01 && wet_mm <= 1))
    problems.push_back({"", 0, 0, "--wet is out of range", "10 um to 1000 um", "100um"});
  if (!(command.tolerance >= 0.1 && command.tolerance <= 20))
    problems.push_back({"", 0, 0, "--within is out of range", "0.1 to 20 (CIEDE2000)", "1 is hardly to be seen"});
  if (!problems.empty()) return report(problems);
  const auto viewer = viewer_of(command.light, "2");
  if (!viewer) return report({viewer.error()});
  auto paint = color::paint_of(wanted, *palette);
  if (!paint) return report({about("--paint", paint.error())});
  if (contrast > 0) {
    paint = color::with_contrast_ratio(*paint, wet_mm * 1000, contrast, *viewer);
    if (!paint) return report({about("--contrast", paint.error())});
  }
  const auto ground = color::estimate_reflectance(old, color::standard_viewer());
  if (!ground) return report({about("--over", ground.error())});
  const color::Hiding answer = color::hiding(*ground, *paint, wet_mm * 1000, *viewer, command.tolerance);
  if (command.json) {
    ordered_json json{{"coats_needed", answer.needed == 0 ? ordered_json(nullptr) : ordered_json(answer.needed)},
                      {"within_de00", command.tolerance},
                      {"wet_um", wet_mm * 1000},
                      {"paint_model_de00", paint->de00}};
    for (std::size_t i = 0; i < answer.coats.size(); ++i)
      json["coats"].push_back({{"coats", i + 1},
                               {"de00", answer.coats[i].de00},
                               {"contrast_ratio", answer.coats[i].contrast_ratio},
                               {"lab", to_json(viewer->lab(answer.coats[i].look))}});
    for (const auto& pigment : paint->pigments)
      json["pigments"].push_back({{"colorant", pigment.colorant->id}, {"g_per_l", pigment.g_m2}});
    std::cout << json.dump(2) << "\n";
    return fine;
  }
  if (answer.needed > 0)
    std::printf("%d coat%s of %.0f um wet until the old colour no longer grins through\n", answer.needed,
                answer.needed == 1 ? "" : "s", wet_mm * 1000);
  else
    std::printf("more than %zu coats: prime first, in grey or in a colour near the paint's\n", answer.coats.size());
  for (std::size_t i = 0;
       i < answer.coats.size() && (answer.needed == 0 || i < static_cast<std::size_t>(answer.needed)); ++i)
    std::printf("  after %zu: %5.2f from the opaque look, contrast ratio %.1f %%\n", i + 1, answer.coats[i].de00,
                100 * answer.coats[i].contrast_ratio);
  std::printf(
      "A model of a good paint%s. Paint a test patch over the darkest spot first.\n",
      contrast > 0 ? " with the contrast ratio you gave" : ": --contrast 98% with the label's figure comes nearer");
  if (paint->de00 > 1)
    std::printf("No paint of the common pigments comes nearer to that colour than %.1f.\n", paint->de00);
  return fine;
}

// ---- clear

int clear(const ColorCommand& command, const Context& context) {
  const auto palette = color::load_palette(context.catalog_dir);
  if (!palette) return report(palette.error());
  const color::Clear* kind = palette->clear(command.clear);
  std::vector<Problem> problems;
  if (!kind) {
    std::string all;
    for (const auto& c : palette->clears) all += (all.empty() ? "" : ", ") + c.id;
    problems.push_back(
        {"", 0, 0, "--clear: there is no clear '" + command.clear + "'", "one of " + all, "name its binder"});
  }
  color::Lab bare;
  if (!command.bare.empty()) {
    take_color("--bare", command.bare, bare, problems);
  } else if (const color::Wood* wood = palette->wood(command.wood)) {
    bare = wood->bare;
  } else {
    problems.push_back({"", 0, 0, "--wood: there is no wood '" + command.wood + "'",
                        "an id of the catalogue's woods, or --bare lab(...)", "oak_white"});
  }
  double dry_mm = kind ? kind->coat_um * 3 / 1000 : 0.05;
  take("--dry", command.dry, units::parse_length_mm, dry_mm, problems);
  if (!(dry_mm > 0 && dry_mm <= 2)) problems.push_back({"", 0, 0, "--dry is out of range", "1 um to 2000 um", "60um"});
  if (!(command.years >= 0 && command.years <= 500))
    problems.push_back({"", 0, 0, "--years is out of range", "0 to 500", "10"});
  if (!problems.empty()) return report(problems);
  const color::Viewer viewer = color::standard_viewer();
  const auto wood = color::estimate_reflectance(bare, viewer);
  if (!wood) return report({about("--bare", wood.error())});
  const color::Lab fresh = viewer.lab(color::cleared(*wood, *kind, dry_mm * 1000)),
                   aged = viewer.lab(color::cleared(*wood, *kind, dry_mm * 1000, command.years));
  if (command.json) {
    std::cout << ordered_json{{"clear", kind->id},
                              {"dry_um", dry_mm * 1000},
                              {"bare", to_json(bare)},
                              {"fresh", to_json(fresh)},
                              {"years", command.years},
                              {"aged", to_json(aged)},
                              {"de00_bare_fresh", color::difference_2000(bare, fresh)},
                              {"de00_fresh_aged", color::difference_2000(fresh, aged)},
                              {"basis", "model"}}
                     .dump(2)
              << "\n";
    return fine;
  }
  std::printf("bare    %s  %s\nfresh   %s  %s\n", color::to_hex(bare).c_str(), color::to_css(bare).c_str(),
              color::to_hex(fresh).c_str(), color::to_css(fresh).c_str());
  if (command.years > 0)
    std::printf("%3.0f yr  %s  %s\n", command.years, color::to_hex(aged).c_str(), color::to_css(aged).c_str());
  std::printf("%s, %.0f um dry. A model: make a test board of your own wood.\n", kind->name.c_str(), dry_mm * 1000);
  return fine;
}

}  // namespace

void add_color(CLI::App& app, Context& context) {
  auto command = std::make_shared<ColorCommand>();
  CLI::App* color =
      app.add_subcommand("color", "Colours measured, compared, converted; what hides and what a clear does");
  color->require_subcommand(1);
  const auto sub = [&](const char* name, const char* help, auto run) {
    CLI::App* s = color->add_subcommand(name, help);
    s->add_flag("--json", command->json, "one JSON object instead of text");
    s->callback([command, &context, run] { context.exit_code = run(*command, context); });
    return s;
  };
  CLI::App* d = sub("difference", "CIEDE2000 of two colours",
                    [](const ColorCommand& c, const Context&) { return difference(c); });
  d->add_option("colors", command->colors, "two colours: 62,12,28 or 'lab(62 12 28)' or '#b08050'");
  d->add_option("--pairs", command->file, "many pairs, L,a,b,L,a,b a line: FILE, or - for standard input");
  CLI::App* c =
      sub("convert", "A colour in every space", [](const ColorCommand& x, const Context&) { return convert(x); });
  c->add_option("colors", command->colors, "colours as in CSS: lab(), lch(), oklab(), rgb(), color(xyz ...), #rrggbb");
  c->add_option("--file", command->file, "one colour a line: FILE, or - for standard input");
  c->add_flag("--csv", command->csv, "a table instead of text");
  CLI::App* s = sub("spectrum", "XYZ and Lab of measured reflectances",
                    [](const ColorCommand& x, const Context&) { return spectrum(x); });
  s->add_option("file", command->file, "CSV: wavelength, reflectance")->required();
  s->add_option("--column", command->column, "only this column");
  CLI::App* m = sub("metamerism", "How far two samples that match under one light part under another",
                    [](const ColorCommand& x, const Context&) { return metamerism(x); });
  m->add_option("file", command->file, "CSV of the standard")->required();
  m->add_option("sample", command->second_file, "CSV of the sample")->required();
  m->add_option("--second", command->second, "light they are tested under")->capture_default_str();
  for (CLI::App* one : {s, m})
    one->add_option("--observer", command->observer, "2 or 10 degrees")->capture_default_str();
  CLI::App* h = sub("hiding", "Coats of paint until the old colour no longer grins through", hiding);
  h->add_option("--paint", command->paint, "the new colour")->required();
  h->add_option("--over", command->over, "the colour it goes over")->required();
  h->add_option("--wet", command->wet, "wet film of one coat")->capture_default_str();
  h->add_option("--contrast", command->contrast, "contrast ratio of one such coat, from the label: 96%");
  h->add_option("--within", command->tolerance, "CIEDE2000 that may be left")->capture_default_str();
  for (CLI::App* one : {s, m, h})
    one->add_option("--light", command->light, "A, D50, D65, LED-B3, D5300K")->capture_default_str();
  CLI::App* w = sub("clear", "What a clear does to bare wood, fresh and after years", clear);
  w->add_option("--wood", command->wood, "a wood of the catalogue: oak_white");
  w->add_option("--bare", command->bare, "its colour, measured bare");
  w->add_option("--clear", command->clear, "the binder of the clear: oil, alkyd, acrylic")->capture_default_str();
  w->add_option("--dry", command->dry, "dry film of all coats; three usual coats if left out");
  w->add_option("--years", command->years, "of ambering")->capture_default_str();
}

}  // namespace tackcloth::cli
