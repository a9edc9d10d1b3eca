// What the bench teaches: observations on real coats move the factors on drying time, of the product and of the shop.
// An observation is interval-censored: "tacky at 4 h" says only that touch came later. Bayes on a grid: log time factor
// = shop + product, normal priors that share the product's own spread; each observation errs by a Student t of four
// degrees of freedom, with a small share of slips that say nothing, so that one odd entry cannot wreck the rest
// (Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 17).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "film/film.h"
#include "units/result.h"

namespace tackcloth::film {

// How the product's log spread is shared: shop (its thermometer, its brush), product (this can, this label), and the
// rest (this coat), as shares of the variance. Our judgement, no source.
inline constexpr double kShopShare = 0.2;
inline constexpr double kProductShare = 0.4;
inline constexpr double kCoatShare = 0.4;

enum class Seen {
  tacky,           // touch is still to come
  soft,            // touch is past, scuff is still to come
  dry,             // touch is past
  sands_to_powder  // scuff is past
};
std::string to_text(Seen seen);

std::optional<Seen> seen_of(std::string_view text);  // the inverse

// What was seen of one coat, hours after it went on.
struct Sighting {
  double hours = 0;
  Seen seen = Seen::dry;
};

// What is still to come of a coat that has been looked at: `expected`, given that its time lies where the sightings put
// it (a log-normal cut off at both ends; Gelman et al., ch. 8, on truncated data). A coat still tacky or soft is never
// promised within half an hour of being seen so. Where sightings cannot both be true, the later time is believed.
Readiness given(const Readiness& expected, const std::vector<Sighting>& sightings);

struct BenchEntry {
  Coat coat;  // product must be one of the model's catalogue
  Instant applied;
  climate::ClimateSeries air = climate::ClimateSeries::constant({});
  double hours = 0;  // after application, when it was looked at
  Seen seen = Seen::dry;
  int line = 0;      // of the file it came from; 0: none
  std::string name;  // entries of one name are of one coat and count as one; empty: a coat of its own
};

struct Learned {
  Calibration calibration;  // for Model::readiness; a product's sigma is that of product and shop together
  Factor shop_prior, shop_posterior;
  std::map<std::string, Factor> product_prior, product_posterior;  // the product's share alone
  std::map<std::string, int> used;                                 // entries taken into account, by product
  struct Moved {
    double p50_before_h = 0, p50_after_h = 0, p90_before_h = 0, p90_after_h = 0;  // recoat at label conditions
  };
  std::map<std::string, Moved> promise;
  std::vector<std::string> messages;  // entries set aside, contradictions, entries not understood
};

// Entries whose coat the model cannot predict (no product, never ready) are set aside with a message. No entries: the
// prior, and an empty calibration.
Learned learn(const Model& model, const std::vector<BenchEntry>& entries);

// CSV with a header: product, applied (ISO 8601), wet_um, temp_c, rh_percent, air_m_s, hours, seen (one of "tacky",
// "soft", "dry", "sands to powder"); optional ground ("bare", "sealed", "metal"), lie ("flat", "upright") and coat (a
// name shared by the entries of one coat).
Results<std::vector<BenchEntry>> read_bench_csv(const std::string& path, const catalog::Catalog& catalog);
Results<std::vector<BenchEntry>> parse_bench_csv(std::string_view text, const std::string& name,
                                                 const catalog::Catalog& catalog);

}  // namespace tackcloth::film
