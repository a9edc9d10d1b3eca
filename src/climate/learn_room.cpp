// Time constant and gain of a shop from a few thermometer readings.
#include <algorithm>
#include <cmath>
#include <string>

#include "climate/room.h"

namespace tackcloth::climate {

namespace {

constexpr double kShortest = 0.1, kLongest = 240;  // hours
// A reading further off than this counts less and less (Huber, Annals of Mathematical Statistics 35 (1964) 73-101):
// one thermometer left in the sun must not spoil the rest.
constexpr double kTrustedK = 1.5;

struct Fit {
  double gain = 0;
  double cost = 0;
};

// Best gain for this time constant, by reweighted least squares.
Fit fit_gain(const std::vector<double>& lagged, const std::vector<Reading>& readings) {
  std::vector<double> rest;
  for (std::size_t i = 0; i < readings.size(); ++i) rest.push_back(readings[i].temp_c - lagged[i]);
  std::vector<double> sorted = rest;
  std::sort(sorted.begin(), sorted.end());
  const std::size_t n = sorted.size();
  Fit fit;
  fit.gain = n % 2 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  for (int pass = 0; pass < 30; ++pass) {
    double sum = 0, weights = 0;
    for (double r : rest) {
      const double weight = std::min(1.0, kTrustedK / std::max(1e-12, std::fabs(r - fit.gain)));
      sum += weight * r;
      weights += weight;
    }
    fit.gain = sum / weights;
  }
  for (double r : rest) {
    const double miss = std::fabs(r - fit.gain);
    fit.cost += miss <= kTrustedK ? miss * miss : kTrustedK * (2 * miss - kTrustedK);
  }
  return fit;
}

std::vector<double> lagged_at(const ClimateSeries& outdoors, double tau, const std::vector<Reading>& readings) {
  RoomModel bare;
  bare.time_constant_h = tau;
  const Instant first = readings.front().when;
  const int hours = static_cast<int>(std::ceil(hours_between(first, readings.back().when))) + 1;
  const ClimateSeries inside = shop_air(outdoors, bare, first, hours);
  std::vector<double> temps;
  for (const Reading& reading : readings) temps.push_back(inside.at(reading.when).temp_c);
  return temps;
}

// Golden section between the neighbours of the best grid point.
template <class Cost>
double narrowed(double best, double cell, double low, double high, const Cost& cost) {
  const double golden = (std::sqrt(5.0) - 1) / 2;
  double a = std::max(low, best - cell), b = std::min(high, best + cell);
  double c = b - golden * (b - a), d = a + golden * (b - a), fc = cost(c), fd = cost(d);
  while (b - a > 1e-4) {
    if (fc < fd) {
      b = d, d = c, fd = fc;
      c = b - golden * (b - a), fc = cost(c);
    } else {
      a = c, c = d, fc = fd;
      d = a + golden * (b - a), fd = cost(d);
    }
  }
  return (a + b) / 2;
}

Problem problem(std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
}

}  // namespace

Result<RoomModel> learn_room(const ClimateSeries& outdoors, const std::vector<Reading>& given, RoomModel prior) {
  return fit_room(outdoors, given, prior).transform([](const RoomFit& fit) { return fit.room; });
}

Result<RoomFit> fit_room(const ClimateSeries& outdoors, const std::vector<Reading>& given, RoomModel prior) {
  std::vector<Reading> readings;
  for (const Reading& reading : given) {
    if (!(reading.temp_c > -40 && reading.temp_c < 60))
      return tl::unexpected(
          problem("the shop reading at " + to_iso(reading.when) + " is " + std::to_string(reading.temp_c) + " °C",
                  "between -40 and 60 °C", "check the unit of the thermometer"));
    if (!outdoors.is_constant() &&
        (hours_between(outdoors.first(), reading.when) < 0 ||
         hours_between(outdoors.first(), reading.when) > double(outdoors.states().size() - 1)))
      return tl::unexpected(problem("there is no outdoor air for the shop reading at " + to_iso(reading.when),
                                    "readings within the weather record", "give weather for that day or leave it out"));
    // While the heater or cooler holds the set-point, a reading tells nothing about the lag.
    const bool held = (prior.heated_to_c && reading.temp_c <= *prior.heated_to_c + 0.3) ||
                      (prior.cooled_to_c && reading.temp_c >= *prior.cooled_to_c - 0.3);
    if (!held) readings.push_back(reading);
  }
  if (readings.size() < 3)
    return tl::unexpected(problem("only " + std::to_string(readings.size()) + " shop readings can be used",
                                  "at least three, taken while the room follows the weather",
                                  "log the shop thermometer at three hours spread over a day"));
  std::sort(readings.begin(), readings.end(), [](const Reading& a, const Reading& b) { return a.when < b.when; });
  for (std::size_t i = 1; i < readings.size(); ++i)
    if (readings[i].when - readings[i - 1].when < Minutes(10) &&
        std::fabs(readings[i].temp_c - readings[i - 1].temp_c) > 3)
      return tl::unexpected(problem("two shop readings about " + to_iso(readings[i].when) + " are more than 3 °C apart",
                                    "readings that agree", "keep the one taken in the shade at the bench"));

  const auto cost = [&](double log_tau) {
    return fit_gain(lagged_at(outdoors, std::exp(log_tau), readings), readings).cost;
  };
  constexpr int kGrid = 40;
  const double low = std::log(kShortest), high = std::log(kLongest);
  const auto place = [&](int i) { return std::lerp(low, high, double(i) / kGrid); };
  std::vector<double> costs;
  for (int i = 0; i <= kGrid; ++i) costs.push_back(cost(place(i)));
  const auto [least, most] = std::minmax_element(costs.begin(), costs.end());
  const double best = place(static_cast<int>(least - costs.begin()));

  RoomFit fit;
  fit.room = prior;
  fit.used = static_cast<int>(readings.size());
  fit.left_out = static_cast<int>(given.size()) - fit.used;
  fit.lag_learned = *most - *least >= 1e-6 * double(readings.size());
  fit.time_constant_low_h = kShortest;
  fit.time_constant_high_h = kLongest;
  // Outdoors too even to show a lag: the time constant stays, only the gain is learned.
  if (fit.lag_learned) {
    fit.room.time_constant_h = std::exp(narrowed(best, (high - low) / kGrid, low, high, cost));
    // Profile likelihood: 3.84 is the 95 % point of chi-squared with one degree of freedom.
    constexpr double kThermometerK = 0.3;
    const double variance =
        std::max(kThermometerK * kThermometerK, *least / std::max(1.0, double(readings.size()) - 2));
    const auto told_apart = [&](int i) { return costs[static_cast<std::size_t>(i)] > *least + 3.84 * variance; };
    for (int i = 0; i <= kGrid && told_apart(i); ++i) fit.time_constant_low_h = std::exp(place(i));
    for (int i = kGrid; i >= 0 && told_apart(i); --i) fit.time_constant_high_h = std::exp(place(i));
  }
  const auto lagged = lagged_at(outdoors, fit.room.time_constant_h, readings);
  fit.room.gain_c = fit_gain(lagged, readings).gain;
  double squares = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double miss = std::fabs(readings[i].temp_c - lagged[i] - fit.room.gain_c);
    squares += miss * miss;
    if (miss < fit.worst_c) continue;
    fit.worst_c = miss;
    fit.worst_at = readings[i].when;
  }
  fit.rms_c = std::sqrt(squares / double(readings.size()));
  return fit;
}

}  // namespace tackcloth::climate
