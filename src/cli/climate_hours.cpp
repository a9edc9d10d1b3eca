// `tackcloth climate --weather FILE`: the hours fit for coating, outdoors or in a shop that follows outdoors.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <nlohmann/json.hpp>
#include <optional>

#include "cli/arguments.h"
#include "cli/climate_command.h"
#include "climate/coating_hours.h"
#include "climate/readings.h"
#include "climate/weather.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

// A room that misses its own readings by more than the dew point margin (3 °C) must not be trusted with a coat.
constexpr double kWorstFitK = 3;
constexpr int kLeadDays = 20;  // of a typical year before the first reading, for the lag to run in

struct Shop {
  bool asked = false;
  climate::RoomModel room;
  std::optional<climate::RoomFit> learned;
};

// "2C" or "4F" as a difference: what it is above zero on its own scale.
Result<double> parse_difference_k(std::string_view text) {
  const auto value = units::parse_temperature_c(text);
  if (!value) return value;
  const std::size_t unit = text.find_first_not_of("+-0123456789./ ");
  const auto zero = units::parse_temperature_c("0" + std::string(text.substr(std::min(unit, text.size()))));
  return zero ? Result<double>(*value - *zero) : value;
}

void take_optional(const char* option, const std::string& text, Result<double> (*parse)(std::string_view),
                   std::optional<double>& value, std::vector<Problem>& problems) {
  if (text.empty()) return;
  double read = 0;
  take(option, text, parse, read, problems);
  value = read;
}

void expect(bool sound, const char* what, const char* expected, const char* remedy, std::vector<Problem>& problems) {
  if (!sound) problems.push_back({"", 0, 0, what, expected, remedy});
}

std::vector<Problem> read_room(const ClimateCommand& command, Shop& shop, climate::CoatingLimits& limits) {
  std::vector<Problem> problems;
  climate::RoomModel& room = shop.room;
  take("--time-constant", command.time_constant, units::parse_duration_h, room.time_constant_h, problems);
  take("--gain", command.gain, parse_difference_k, room.gain_c, problems);
  take_optional("--heated-to", command.heated, units::parse_temperature_c, room.heated_to_c, problems);
  take_optional("--cooled-to", command.cooled, units::parse_temperature_c, room.cooled_to_c, problems);
  take_optional("--dried-to", command.dried, units::parse_fraction, room.dried_to_rh, problems);
  take("--surface-lag", command.surface_lag, units::parse_duration_h, limits.surface_lag_h, problems);
  if (!problems.empty()) return problems;
  expect(room.time_constant_h >= 0 && room.time_constant_h <= 1000, "--time-constant is out of range", "0 to 1000 h",
         "a garage is about 6h to 24h", problems);
  expect(std::fabs(room.gain_c) <= 30, "--gain is out of range", "-30 to 30 °C", "a closed garage is about 2C",
         problems);
  expect(room.heated_to_c.value_or(15) >= -10 && room.heated_to_c.value_or(15) <= 45, "--heated-to is out of range",
         "-10 to 45 °C", "16C or 60F", problems);
  expect(room.cooled_to_c.value_or(25) >= 0 && room.cooled_to_c.value_or(25) <= 60, "--cooled-to is out of range",
         "0 to 60 °C", "26C or 80F", problems);
  expect(room.heated_to_c.value_or(-99) < room.cooled_to_c.value_or(99), "--heated-to is not below --cooled-to",
         "a heater set below the cooler", "swap them or leave one out", problems);
  expect(room.dried_to_rh.value_or(0.5) > 0 && room.dried_to_rh.value_or(0.5) <= 1, "--dried-to is out of range",
         "more than 0 and at most 100 %", "55%", problems);
  expect(limits.surface_lag_h >= 0 && limits.surface_lag_h <= 100, "--surface-lag is out of range", "0 to 100 h",
         "1h for a chair, 3h for a thick top", problems);
  shop.asked = command.shop || !command.time_constant.empty() || !command.gain.empty() || !command.heated.empty() ||
               !command.cooled.empty() || !command.dried.empty() || !command.readings.empty();
  return problems;
}

std::vector<Problem> read_product(const ClimateCommand& command, const Context& context,
                                  climate::CoatingLimits& limits) {
  if (command.product.empty()) return {};
  const auto catalog = catalog::load_catalog(context.catalog_dir);
  if (!catalog) return catalog.error();
  const catalog::Product* product = find_product(*catalog, command.product);
  if (!product || !catalog::leaves_film(*product)) return {no_such_product(*catalog, command.product)};
  limits.min_temp_c = std::max(product->min_temp_c, product->min_film_temp_c.value_or(product->min_temp_c));
  limits.max_temp_c = product->max_temp_c;
  limits.max_rh = product->max_rh;
  return {};
}

// Learns the room, or says why these readings teach nothing.
std::optional<Problem> learn(const ClimateCommand& command, const climate::Weather& weather, Shop& shop,
                             Instant& last_reading) {
  const auto logged = climate::read_readings_csv(command.readings, false);
  if (!logged) return logged.error();
  const auto readings = climate::shop_readings(command.readings, *logged);
  if (!readings) return readings.error();
  const auto [first, last] = std::minmax_element(readings->begin(), readings->end(),
                                                 [](const auto& a, const auto& b) { return a.when < b.when; });
  last_reading = last->when;
  climate::ClimateSeries outdoors = weather.outdoors;
  if (weather.typical_year) {
    const Instant from = first->when - Minutes(60 * 24 * kLeadDays);
    const auto laid =
        climate::outdoors_between(weather, from, static_cast<int>(std::ceil(hours_between(from, last->when))) + 1);
    if (!laid) return laid.error();
    outdoors = *laid;
  }
  const auto fit = climate::fit_room(outdoors, *readings, shop.room);
  if (!fit) {
    Problem problem = fit.error();
    problem.file = command.readings;
    return problem;
  }
  if (fit->rms_c > kWorstFitK)
    return Problem{command.readings,
                   0,
                   0,
                   "the readings do not fit a room that follows this weather: they miss it by " +
                       std::to_string(fit->rms_c).substr(0, 4) + " °C on average, most at " + to_iso(fit->worst_at),
                   "readings within 3 °C of one slow room",
                   "give --heated-to when the heater was on, check times and the weather's place, or leave --readings "
                   "out"};
  shop.room = fit->room;
  shop.learned = *fit;
  return std::nullopt;
}

nlohmann::ordered_json room_json(const Shop& shop) {
  const auto given = [](const std::optional<double>& value) {
    return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(nullptr);
  };
  nlohmann::ordered_json json{{"time_constant_h", shop.room.time_constant_h},
                              {"gain_c", shop.room.gain_c},
                              {"heated_to_c", given(shop.room.heated_to_c)},
                              {"cooled_to_c", given(shop.room.cooled_to_c)},
                              {"dried_to_rh", given(shop.room.dried_to_rh)}};
  if (shop.learned)
    json["learned"] = {{"readings_used", shop.learned->used},
                       {"readings_left_out", shop.learned->left_out},
                       {"lag_learned", shop.learned->lag_learned},
                       {"rms_c", shop.learned->rms_c},
                       {"worst_c", shop.learned->worst_c},
                       {"worst_at", to_iso(shop.learned->worst_at)},
                       {"time_constant_low_h", shop.learned->time_constant_low_h},
                       {"time_constant_high_h", shop.learned->time_constant_high_h}};
  return json;
}

std::vector<std::string> cautions_of(const climate::Weather& weather, const Shop& shop) {
  std::vector<std::string> out;
  if (shop.learned && weather.typical_year)
    out.push_back("the weather file is a typical year, not that of the readings: what was learned is rough");
  if (shop.learned && !shop.learned->lag_learned)
    out.push_back("the weather was too even to show a lag: the time constant is the one given or usual, not learned");
  if (shop.learned && shop.learned->lag_learned &&
      shop.learned->time_constant_high_h > 4 * shop.learned->time_constant_low_h)
    out.push_back("the readings leave the time constant wide open: log over a day with a cold night");
  if (weather.missing_hours_filled > 0)
    out.push_back(std::to_string(weather.missing_hours_filled) + " missing hours of weather were filled in");
  return out;
}

void print_room(const Shop& shop) {
  std::printf("shop: %.3g h behind outdoors, %+.1f °C", shop.room.time_constant_h, shop.room.gain_c);
  if (shop.room.heated_to_c) std::printf(", heated to %.0f °C", *shop.room.heated_to_c);
  if (shop.room.cooled_to_c) std::printf(", cooled to %.0f °C", *shop.room.cooled_to_c);
  if (shop.room.dried_to_rh) std::printf(", dried to %.0f %%", *shop.room.dried_to_rh * 100);
  std::printf("\n");
  if (!shop.learned) return;
  const climate::RoomFit& fit = *shop.learned;
  std::printf("learned from %d readings", fit.used);
  if (fit.left_out > 0) std::printf(" (%d at the set-point left out)", fit.left_out);
  std::printf(": misses %.1f °C on average, at most %.1f °C at %s", fit.rms_c, fit.worst_c,
              to_iso(fit.worst_at).substr(0, 16).c_str());
  if (fit.lag_learned)
    std::printf("; anything from %.2g to %.2g h fits as well", fit.time_constant_low_h, fit.time_constant_high_h);
  std::printf("\n");
}

}  // namespace

int run_climate_hours(const ClimateCommand& command, const Context& context) {
  Shop shop;
  climate::CoatingLimits limits;
  auto problems = read_room(command, shop, limits);
  if (problems.empty()) problems = read_product(command, context, limits);
  if (command.hours < 1 || command.hours > 8784)
    problems.push_back(
        {"", 0, 0, "--hours is " + std::to_string(command.hours), "between 1 and 8784", "48 is two days"});
  if (!problems.empty()) return report(problems);
  const bool csv = command.weather.ends_with(".csv") || command.weather.ends_with(".CSV");
  const auto weather = csv ? climate::read_forecast_csv(command.weather) : climate::read_epw(command.weather);
  if (!weather) return report({weather.error()});
  Instant start = weather->outdoors.first();
  if (!command.readings.empty()) {
    if (const auto problem = learn(command, *weather, shop, start)) return report({*problem});
    start = std::chrono::ceil<std::chrono::hours>(start);
  }
  if (!command.start.empty()) {
    const auto read = parse_instant(command.start);
    if (!read) return report({about("--start", read.error())});
    start = *read;
  }
  // The piece still feels the air of half a day before, the shop the weather of six time constants before that.
  constexpr int kPieceH = 12;
  const double room_h = shop.asked ? std::min(24.0 * kLeadDays, std::ceil(6 * shop.room.time_constant_h)) : 0;
  int lead = kPieceH + static_cast<int>(room_h);
  if (!weather->typical_year)
    lead = std::clamp(static_cast<int>(hours_between(weather->outdoors.first(), start)), 0, lead);
  const int before = std::min(kPieceH, lead);
  const auto outdoors = climate::outdoors_between(*weather, start - Minutes(60 * lead), lead + command.hours - 1);
  if (!outdoors) return report({outdoors.error()});
  const climate::ClimateSeries air =
      shop.asked ? climate::shop_air(*outdoors, shop.room, start - Minutes(60 * before), before + command.hours)
                 : *outdoors;
  const auto hours = climate::coating_hours(air, limits, start, command.hours);
  const auto cautions = cautions_of(*weather, shop);
  if (command.json) {
    auto list = nlohmann::ordered_json::array();
    for (const auto& hour : hours) {
      auto one = state_json(air.at(hour.when));
      one["time"] = to_iso(hour.when);
      if (shop.asked) one["outdoor_temp_c"] = outdoors->at(hour.when).temp_c;
      one["surface_above_dew_point_k"] = hour.dew_margin_c;
      one["fit_for_coating"] = hour.fit;
      one["why_not"] = hour.why_not;
      list.push_back(std::move(one));
    }
    auto spells = nlohmann::ordered_json::array();
    for (const auto& spell : climate::coating_spells(hours))
      spells.push_back({{"from", to_iso(spell.from)}, {"to", to_iso(spell.to)}});
    nlohmann::ordered_json json{{"place", weather->place},
                                {"where", shop.asked ? "shop" : "outdoors"},
                                {"missing_hours_filled", weather->missing_hours_filled}};
    if (shop.asked) json["room"] = room_json(shop);
    json["limits"] = {{"min_temp_c", limits.min_temp_c},
                      {"max_temp_c", limits.max_temp_c},
                      {"max_rh_percent", limits.max_rh * 100},
                      {"dew_margin_k", limits.dew_margin_c}};
    json["cautions"] = cautions;
    json["spells"] = std::move(spells);
    json["hours"] = std::move(list);
    std::cout << json.dump(2) << "\n";
    return fine;
  }
  std::printf("%s, %s\n", weather->place.c_str(), shop.asked ? "in the shop" : "outdoors");
  if (shop.asked) print_room(shop);
  std::printf("limits: %.0f to %.0f °C, at most %.0f %%, surface %.0f °C above the dew point%s\n", limits.min_temp_c,
              limits.max_temp_c, limits.max_rh * 100, limits.dew_margin_c,
              command.product.empty() ? " (usual ones; --product for a product's own)" : "");
  for (const auto& caution : cautions) std::printf("caution: %s\n", caution.c_str());
  for (const auto& hour : hours) {
    const climate::Air now = air.at(hour.when);
    std::printf("%s %6.1f °C %4.0f %%  surface %+5.1f °C from dew point  %s\n", to_iso(hour.when).substr(0, 16).c_str(),
                now.temp_c, now.rh * 100, hour.dew_margin_c, hour.fit ? "fit" : hour.why_not.c_str());
  }
  return fine;
}

}  // namespace tackcloth::cli
