#include "plan/odds.h"

#include <cmath>
#include <map>
#include <numbers>

#include "calendar/random.h"
#include "film/calibrate.h"
#include "units/normal.h"

namespace tackcloth::plan {
namespace {

// Box and Muller 1958.
double normal(calendar::Random& random) {
  const double u = 1 - random.unit(), v = random.unit();
  return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
}

}  // namespace

std::vector<std::vector<calendar::Tick>> worked_off(const calendar::Model& model, const calendar::Solution& planned,
                                                    const std::vector<UnsureCoat>& coats, int trials,
                                                    std::uint64_t seed) {
  calendar::WorkingOff off(model, planned);
  std::vector<std::vector<calendar::Tick>> ends;
  for (int trial = 0; trial < trials; ++trial) {
    // Of each pair of trials the second is the first turned over (antithetic variates; Hammersley & Morton 1956).
    calendar::Random random(seed, static_cast<std::uint64_t>(trial / 2), 77);
    const double sign = trial % 2 == 0 ? 1 : -1;
    calendar::Turnout turnout{std::vector<double>(model.precedences.size(), 1.0),
                              std::vector<double>(model.activities.size(), 1.0)};
    const double shop = normal(random);
    std::map<std::string, double> product;
    for (const UnsureCoat& coat : coats) {
      if (!product.contains(coat.product)) product[coat.product] = normal(random);
      const double z =
          sign * (std::sqrt(film::kShopShare) * shop + std::sqrt(film::kProductShare) * product[coat.product] +
                  std::sqrt(film::kCoatShare) * normal(random));
      const double factor = std::exp(coat.sigma_log * (z - kNormal90));
      for (int k : coat.precedences) turnout.lag[static_cast<std::size_t>(k)] = factor;
      if (coat.tail_of >= 0) turnout.tail[static_cast<std::size_t>(coat.tail_of)] = factor;
    }
    const calendar::Solution run = off.run(turnout);
    if (run.start.empty()) continue;
    std::vector<calendar::Tick> end(run.start.size());
    for (std::size_t i = 0; i < end.size(); ++i) end[i] = run.start[i] + run.duration[i];
    ends.push_back(std::move(end));
  }
  return ends;
}

}  // namespace tackcloth::plan
