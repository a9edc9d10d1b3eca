// How long all papers of a job take, once it is planned: the example, every piece, on both papers. --json for machines.
#include <chrono>
#include <cstdio>
#include <cstring>
#include <iostream>
#include <nlohmann/json.hpp>

#include "sheet/papers.h"

namespace {

using namespace tackcloth;
using Clock = std::chrono::steady_clock;

// A photo as a phone takes it, of no subject.
picture::Image photo() {
  picture::Image image(4000, 3000);
  for (std::size_t i = 0; i < image.rgb.size(); ++i) image.rgb[i] = static_cast<std::uint8_t>((i * 2654435761u) >> 13);
  return image;
}

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
    for (const bool photos : {false, true}) {
      sheet::PapersAsked asked;
      asked.paper = paper;
      asked.date = plan->start;
      if (photos) asked.before = asked.after = photo();
      std::size_t files = 0, bytes = 0;
      const auto begin = Clock::now();
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
      out.push_back({{"paper", name},
                     {"photos", photos},
                     {"pieces", plan->pieces.size()},
                     {"files", files},
                     {"bytes", bytes},
                     {"seconds", took}});
      if (!json)
        std::printf("%-6s %-14s %zu pieces %3zu files %9zu bytes  %.3f s\n", name, photos ? "with photos" : "",
                    plan->pieces.size(), files, bytes, took);
    }
  if (json) std::cout << out.dump(2) << "\n";
}
