// How long all papers of a job take, once it is planned: the example, every piece, on both papers; without photos, with
// photos as a phone takes them, and with photos of pure noise, the hardest there are. --json for machines. Beside the
// time by the clock stands the processor's, which others on the machine do not change.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <iostream>
#include <nlohmann/json.hpp>

#include "sheet/papers.h"

namespace {

using namespace tackcloth;
using Clock = std::chrono::steady_clock;

std::uint8_t noise(std::size_t i) { return static_cast<std::uint8_t>((i * 2654435761u) >> 13); }

picture::Image noise_photo() {
  picture::Image image(4000, 3000);
  for (std::size_t i = 0; i < image.rgb.size(); ++i) image.rgb[i] = noise(i);
  return image;
}

// Light that falls off, a grained board with edges, and the sensor's noise of a few steps.
picture::Image scene_photo() {
  picture::Image image(4000, 3000);
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      const double light = 0.55 + 0.35 * std::cos(x / 2600.0) * std::cos(y / 2300.0);
      const double grain = 0.06 * std::sin(y / 9.0 + 6 * std::sin(x / 500.0)) + 0.03 * std::sin(y / 2.5 + x / 90.0);
      const bool board = x > 600 && x < 3400 && y > 500 && y < 2500 && (y / 400 + x / 700) % 5 != 0;
      const double base[] = {board ? 0.62 : 0.8, board ? 0.42 : 0.79, board ? 0.26 : 0.76};
      for (int c = 0; c < 3; ++c) {
        const double value = 255 * light * (base[c] + (board ? grain : 0));
        const std::size_t i = 3 * (static_cast<std::size_t>(y) * 4000 + static_cast<std::size_t>(x)) + c;
        image.at(x, y)[c] = static_cast<std::uint8_t>(std::clamp(value + (noise(i) % 9) - 4.0, 0.0, 255.0));
      }
    }
  return image;
}

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

}  // namespace

int main(int argc, char** argv) {
  bool json = false;
  for (int i = 1; i < argc; ++i) json = json || !std::strcmp(argv[i], "--json");
  const std::string root = TACKCLOTH_SOURCE_DIR;
  auto catalog = catalog::load_catalog(root + "/catalog");
  auto rules = finish::load_rules(root + "/catalog/rules.toml");
  if (!catalog || !rules) {
    std::cerr << "the catalogue does not load\n";
    return 2;
  }
  const film::Model film(*catalog);
  const finish::Finisher finisher(*catalog, film, std::move(*rules));
  const auto job = job::read_job(root + "/examples/spring.toml", *catalog);
  auto weather = climate::read_forecast_csv(root + "/examples/spring-weather.csv");
  if (!job || !weather) {
    std::cerr << "the example does not load\n";
    return 2;
  }
  const auto plan = plan::make_plan(*job, {&*catalog, &film, &finisher, *weather}, {});
  if (!plan) {
    std::cerr << to_text(plan.error().front()) << "\n";
    return 2;
  }
  nlohmann::ordered_json out = nlohmann::ordered_json::array();
  for (const auto& [name, paper] : {std::pair("a4", sheet::Paper::a4), std::pair("letter", sheet::Paper::letter)})
    for (const char* photos : {"none", "scene", "noise"}) {
      sheet::PapersAsked asked;
      asked.paper = paper;
      asked.date = plan->start;
      const std::string kind = photos;
      if (kind != "none") asked.before = asked.after = kind == "scene" ? scene_photo() : noise_photo();
      std::size_t files = 0, bytes = 0;
      const auto begin = Clock::now();
      const double worked = processor_seconds();
      for (std::size_t p = 0; p < plan->pieces.size(); ++p) {
        const materials::Price& price = plan->pieces[p].price;
        const auto offer = materials::offer({price.materials, price.hours, job->shop.hourly_rate, 0, 0, 0, {}}, {}, {});
        const auto papers = sheet::papers_of(*job, *plan, p, *offer, *catalog, asked);
        if (!papers) {
          std::cerr << to_text(papers.error()) << "\n";
          return 2;
        }
        files += papers->size();
        for (const sheet::PaperFile& file : *papers) bytes += file.bytes.size();
      }
      const double took = std::chrono::duration<double>(Clock::now() - begin).count();
      const double processor = processor_seconds() - worked;
      out.push_back({{"paper", name},
                     {"photos", photos},
                     {"pieces", plan->pieces.size()},
                     {"files", files},
                     {"bytes", bytes},
                     {"seconds", took},
                     {"processor_seconds", processor}});
      if (!json)
        std::printf("%-6s photos: %-6s %zu pieces %3zu files %9zu bytes  %.3f s, of the processor %.3f s\n", name,
                    photos, plan->pieces.size(), files, bytes, took, processor);
    }
  if (json) std::cout << out.dump(2) << "\n";
}
