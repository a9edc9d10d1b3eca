// What the bench teaches: observations on real coats move the factors on drying time, of the product and of the shop.
// An observation is interval-censored: "tacky at 4 h" says only that touch came later. Bayes on a grid: log time factor
// = shop + product, normal priors that share the product's own spread; each observation errs by a Student t of four
// degrees of freedom, with a small share of slips that say nothing, so that one odd entry cannot wreck the rest
// (Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 17).
#pragma once

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

struct BenchEntry {
  Coat coat;  // product must be one of the model's catalogue
  Instant applied;
  climate::ClimateSeries air = climate::ClimateSeries::constant({});
  double hours = 0;  // after application, when it was looked at
  Seen seen = Seen::dry;
  int line = 0;  // of the file it came from; 0: none
};

struct Learned {
  Calibration calibration;  // for Model::readiness; a product's sigma is that of product and shop together
  Factor shop_prior, shop_posterior;
  std::map<std::string, Factor> product_prior, product_posterior;  // the product's share alone
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
// "soft", "dry", "sands to powder"); optional ground ("bare", "sealed", "metal") and lie ("flat", "upright").
Results<std::vector<BenchEntry>> read_bench_csv(const std::string& path, const catalog::Catalog& catalog);
Results<std::vector<BenchEntry>> parse_bench_csv(std::string_view text, const std::string& name,
                                                 const catalog::Catalog& catalog);

}  // namespace tackcloth::film
