// tackcloth dry: when is one coat ready, in this air, this thick.
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "catalog/catalog.h"
#include "cli/bench_history.h"
#include "cli/command.h"
#include "film/calibrate.h"
#include "plan/lag_table.h"
#include "units/normal.h"
#include "units/quantity.h"

namespace tackcloth::cli {
namespace {

using film::Band;
using film::Need;
using nlohmann::json;

struct Asked {
  std::string product, wet, temp = "21C", rh = "50%", air = "0.1m/s", ground = "sealed";
  std::vector<std::string> learn;
  bool flat = false, json = false;
};

// Hours as a number, or null when never.
json number(double hours) { return std::isfinite(hours) ? json(hours) : json(nullptr); }
json to_json(const Band& b) { return {{"p10", number(b.p10)}, {"p50", number(b.p50)}, {"p90", number(b.p90)}}; }
json to_json(const film::Factor& f) {
  return {{"time_factor", std::exp(f.mean_log)}, {"mean_log", f.mean_log}, {"sigma_log", f.sigma_log}};
}

std::string hours(double h) { return std::isfinite(h) ? units::format_hours(h) : "never in this air"; }

// Against the label's time, with the band that holds eight in ten.
std::string time_factor(const film::Factor& f) {
  char text[64];
  std::snprintf(text, sizeof text, "x %.2f (%.2f to %.2f)", std::exp(f.mean_log),
                std::exp(f.mean_log - kNormal90 * f.sigma_log), std::exp(f.mean_log + kNormal90 * f.sigma_log));
  return text;
}

std::string nearest(const catalog::Catalog& catalog, const std::string& asked) {
  std::string best;
  std::size_t most = 1;  // letters in common from the start, or inside
  for (const catalog::Product& p : catalog.products) {
    std::size_t same = 0;
    while (same < p.id.size() && same < asked.size() && p.id[same] == asked[same]) ++same;
    if (!asked.empty() && p.id.find(asked) != std::string::npos) same += asked.size();
    if (same > most) most = same, best = p.id;
  }
  return best;
}

// Wet film falling and cure rising, drawn in text: a row of twelve-step bars each.
void draw(const film::Model::Curve& curve, std::ostream& out) {
  constexpr int columns = 60;
  static const char* const bars[] = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
  if (curve.hours.empty()) return;
  auto row = [&](const char* name, const std::vector<double>& values, double top, const std::string& ends) {
    out << name;
    for (int c = 0; c < columns; ++c) {
      const double t = curve.hours.back() * (c + 0.5) / columns;
      std::size_t i = 0;
      while (i + 1 < curve.hours.size() && curve.hours[i] < t) ++i;
      const double share = top > 0 ? values[i] / top : 0;
      out << bars[std::min(8, std::max(0, static_cast<int>(std::lround(share * 8))))];
    }
    out << "  " << ends << '\n';
  };
  char text[64];
  std::snprintf(text, sizeof text, "%.0f to %.0f µm", curve.thickness_um.front(), curve.thickness_um.back());
  row("  film ", curve.thickness_um, curve.thickness_um.front(), text);
  std::snprintf(text, sizeof text, "%.0f %%", curve.cure.back() * 100);
  row("  cure ", curve.cure, 1.0, text);
  const std::string end = units::format_hours(curve.hours.back());
  out << "       0" << std::string(columns > static_cast<int>(end.size()) ? columns - 1 - end.size() : 1, ' ') << end
      << '\n';
}

// Why this product is not to be laid in this air; empty when it may be.
std::string not_fit(const catalog::Product& product, const climate::Air& air) {
  if (air.temp_c <= 0) return "Frost: nothing is coated at or below 0 °C.";
  std::string reason = plan::unfit_for(product, air);
  if (reason.empty()) return {};
  return "Not fit to coat: " + reason + ".";
}

// The hours of a coat in air it is not fit for, told on the safe side: never in frost or under the label's least
// temperature; over its highest, no sooner than at that.
film::Readiness on_the_safe_side(const film::Model& model, const film::Coat& coat, climate::Air air,
                                 const film::Calibration& calibration) {
  const bool cold = air.temp_c <= 0 || air.temp_c < coat.product->min_temp_c;
  air.temp_c = std::min(air.temp_c, coat.product->max_temp_c);
  film::Readiness ready = model.readiness(coat, climate::ClimateSeries::constant(air), Instant{}, calibration);
  if (cold) ready.by_need.fill({film::kNever, film::kNever, film::kNever});
  return ready;
}

int answer(const Asked& asked, const Context& context) {
  std::vector<Problem> problems;
  auto take = [&problems](const Result<double>& r, const char* option, double low, double high, const char* range) {
    if (!r) {
      Problem p = r.error();
      if (p.file.empty()) p.file = option;
      problems.push_back(p);
      return low;
    }
    if (*r < low || *r > high || std::isnan(*r)) {
      problems.push_back({option, 0, 0, "the value is out of range", range, "check the unit"});
    }
    return *r;
  };
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return report(catalog.error());
  film::Calibration calibration;
  json learned_json;
  const film::Model model(*catalog);
  const bool quiet = asked.json;
  if (!asked.learn.empty()) {
    const auto history = bench_history(asked.learn, *catalog);
    if (!history) return report(history.error());
    const auto* entries = &history->looks;
    const film::Learned learned = film::learn(model, *entries);
    calibration = learned.calibration;
    learned_json = {{"entries", entries->size()},
                    {"shop", {{"prior", to_json(learned.shop_prior)}, {"posterior", to_json(learned.shop_posterior)}}},
                    {"products", json::object()},
                    {"messages", learned.messages}};
    if (!quiet) {
      std::cout << entries->size() << (entries->size() == 1 ? " bench entry.\n" : " bench entries.\n");
      if (!entries->empty())
        std::cout << "  The shop: " << time_factor(learned.shop_prior) << " before, "
                  << time_factor(learned.shop_posterior) << " now.\n";
    }
    for (const auto& [id, posterior] : learned.product_posterior) {
      const film::Learned::Moved& m = learned.promise.at(id);
      learned_json["products"][id] = {{"prior", to_json(learned.product_prior.at(id))},
                                      {"posterior", to_json(posterior)},
                                      {"recoat_h",
                                       {{"before", {{"p50", number(m.p50_before_h)}, {"p90", number(m.p90_before_h)}}},
                                        {"after", {{"p50", number(m.p50_after_h)}, {"p90", number(m.p90_after_h)}}}}}};
      if (!quiet) {
        std::cout << "  " << id << ": " << time_factor(learned.product_prior.at(id)) << " before, "
                  << time_factor(posterior) << " now; recoat at label conditions was " << hours(m.p50_before_h)
                  << " (90 % by " << hours(m.p90_before_h) << "), is now " << hours(m.p50_after_h) << " (90 % by "
                  << hours(m.p90_after_h) << ")\n";
      }
    }
    for (const std::string& message : learned.messages) (quiet ? std::cerr : std::cout) << "  " << message << '\n';
    if (asked.product.empty()) {
      if (quiet) std::cout << json{{"learned", learned_json}}.dump(2) << '\n';
      return fine;
    }
  }
  const catalog::Product* product = catalog->product(asked.product);
  if (!product) {
    const std::string near = nearest(*catalog, asked.product);
    problems.push_back({"--product", 0, 0, "the product '" + asked.product + "' is not in the catalogue",
                        "the id of a product", near.empty() ? "see the catalogue" : "did you mean '" + near + "'?"});
    return report(problems);
  }
  const catalog::Application* usual = catalog::usual(*product);
  double wet_um = usual ? usual->wet_um : product->label.wet_um;
  if (!asked.wet.empty()) {
    // A bare number is micrometres: the option says so.
    const bool bare = asked.wet.find_first_not_of("0123456789.") == std::string::npos;
    wet_um =
        take(units::parse_length_mm(bare ? asked.wet + " um" : asked.wet), "--wet-um", 0.001, 5, "1 to 5000 µm") * 1000;
  }
  climate::Air air;
  air.temp_c = take(units::parse_temperature_c(asked.temp), "--temp", -20, 60, "-20 to 60 °C");
  air.rh = take(units::parse_fraction(asked.rh), "--rh", 0, 1, "0 to 100 %: air holds no more");
  air.speed_m_s = take(units::parse_speed_m_s(asked.air), "--air", 0, 10, "0 to 10 m/s");
  film::Coat coat{product, wet_um, film::Ground::sealed, asked.flat ? film::Lie::horizontal : film::Lie::vertical};
  if (asked.ground == "bare") coat.ground = film::Ground::bare_wood;
  if (asked.ground == "metal") coat.ground = film::Ground::metal;
  if (!problems.empty()) return report(problems);

  if (!catalog::leaves_film(*product)) {
    return report({{"--product", 0, 0, "'" + product->id + "' does not dry as a film: it is rinsed, scraped or used up",
                    "a finish, a stain, a glue or a thinner", "ask for the product that goes on after it"}});
  }
  const climate::ClimateSeries series = climate::ClimateSeries::constant(air);
  const std::string unfit = not_fit(*product, air);
  const film::Readiness ready = on_the_safe_side(model, coat, air, calibration);
  const std::string why = unfit.empty() || ready.why.empty() ? unfit + ready.why : unfit + " " + ready.why;
  if (asked.json) {
    json out = {{"product", product->id},
                {"wet_um", wet_um},
                {"temp_c", air.temp_c},
                {"rh", air.rh},
                {"air_m_s", air.speed_m_s},
                {"touch_h", to_json(ready[Need::touch])},
                {"tape_h", to_json(ready[Need::tape])},
                {"scuff_h", to_json(ready[Need::scuff])},
                {"recoat_h", to_json(ready[Need::recoat_same])},
                {"recoat_other_h", to_json(ready[Need::recoat_other])},
                {"handle_h", to_json(ready[Need::handle])},
                {"stack_h", to_json(ready[Need::stack])},
                {"cure_h", to_json(ready[Need::use])},
                {"recoat_closes_h", number(ready.recoat_closes_h)},
                {"fit", unfit.empty()},
                {"why", why}};
    if (!learned_json.is_null()) out["learned"] = learned_json;
    std::cout << out.dump(2) << '\n';
    return fine;
  }
  std::cout << product->name << ", " << units::format_wet_film(wet_um, units::System::metric) << " wet, "
            << units::format_temperature(air.temp_c, units::System::metric) << ", " << std::lround(air.rh * 100)
            << " % humidity\n";
  bool any = false;
  for (int n = 0; n < film::kNeeds; ++n) any = any || std::isfinite(ready[static_cast<Need>(n)].p50);
  if (!any) std::cout << "  Never ready for anything in this air.\n";
  for (int n = 0; any && n < film::kNeeds; ++n) {
    const Need need = static_cast<Need>(n);
    std::string name = film::to_text(need);
    name.resize(21, ' ');
    std::cout << "  " << name << hours(ready[need].p50);
    if (std::isfinite(ready[need].p50)) std::cout << "  (plan on " << hours(ready[need].p90) << ")";
    std::cout << '\n';
  }
  if (std::isfinite(ready.recoat_closes_h)) {
    std::cout << "  scuff before the next coat from " << hours(ready.recoat_closes_h) << " on\n";
  }
  if (!why.empty()) std::cout << "  " << why << '\n';
  if (!product->ready_by_hand.empty()) std::cout << "  By hand: " << product->ready_by_hand << '\n';
  const double span =
      std::isfinite(ready[Need::recoat_same].p90) ? std::min(1.5 * ready[Need::recoat_same].p90, 500.0) : 48;
  if (std::isfinite(ready[Need::touch].p50)) draw(model.curve(coat, series, Instant{}, std::max(span, 0.5)), std::cout);
  std::cout << "  The label on the can wins where it asks for longer.\n";
  return fine;
}

}  // namespace

void add_dry(CLI::App& app, Context& context) {
  CLI::App* command = app.add_subcommand("dry", "When is a coat ready, in this air, this thick");
  auto asked = std::make_shared<Asked>();
  command->add_option("--product", asked->product, "Product, by its id in the catalogue");
  command->add_option("--wet-um", asked->wet,
                      "Wet film: 50, \"50 um\", \"2 mil\"; the product's usual one if not given");
  command->add_option("--temp", asked->temp, "Air temperature, such as 21C or 70F");
  command->add_option("--rh", asked->rh, "Relative humidity, such as 50%");
  command->add_option("--air", asked->air, "Air past the work, such as 0.2m/s");
  command->add_option("--ground", asked->ground, "bare, sealed or metal")
      ->check(CLI::IsMember({"bare", "sealed", "metal"}));
  command->add_flag("--flat", asked->flat, "The face lies flat");
  command->add_option("--learn", asked->learn,
                      "Bench entries to learn from: CSV (docs/film.md), or a data file of serve; repeatable");
  command->add_flag("--json", asked->json, "One JSON object");
  command->callback([asked, &context] {
    if (asked->product.empty() && asked->learn.empty()) {
      context.exit_code =
          report({{"--product", 0, 0, "no product is named", "the id of a product", "add --product NAME"}});
      return;
    }
    context.exit_code = answer(*asked, context);
  });
}

}  // namespace tackcloth::cli
