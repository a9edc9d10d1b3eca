// Drying and curing of one coat. Model, sources and limits: docs/film.md.
// A coat is a wet thickness of a product on a ground, drying in air that may change by the hour. The product is
// anchored to its label: at label conditions and label thickness the model gives the label's times back exactly.
#pragma once

#include <array>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "climate/series.h"
#include "units/time.h"

namespace tackcloth::film {

// What the next step needs of the film.
enum class Need { touch, tape, scuff, recoat_same, recoat_other, handle, stack, use };
inline constexpr int kNeeds = 8;
std::string to_text(Need need);

enum class Ground { bare_wood, sealed, metal };
enum class Lie { horizontal, vertical };

// What lies under a coat and still ripens. Model::beneath tells it of one coat for the next; the default is a ground
// dry through. More of any of the three never makes a coat ready earlier.
struct Beneath {
  double retained_g_m2 = 0;  // volatile parts still to come out, through the coat on top
  double raw_um = 0;         // dry thickness that was covered before it was fit to be recoated: slows every need
  double unripe_um = 0;      // dry thickness not ripe yet (docs/film.md): slows what needs a hard film (tape, handle,
                             // stack, use, another chemistry)
};

struct Coat {
  const catalog::Product* product = nullptr;
  double wet_um = 75;
  Ground ground = Ground::sealed;
  Lie lie = Lie::vertical;
  Beneath beneath = {};
};

inline constexpr double kNever = std::numeric_limits<double>::infinity();

// Hours after application. kNever: not within `horizon` (too cold, too damp); `why` says it.
struct Band {
  double p10 = 0, p50 = 0, p90 = 0;
};

struct Readiness {
  std::array<Band, kNeeds> by_need;
  double recoat_closes_h = kNever;  // P10 of the closing of the recoat window: never told too late
  std::string why;                  // empty when all needs are met
  const Band& operator[](Need need) const { return by_need[static_cast<std::size_t>(need)]; }
};

// What the bench has taught: log factors on time, per product and for the shop. Zero: the label is right.
struct Factor {
  double mean_log = 0;
  double sigma_log = 0;
};
struct Calibration {
  Factor shop;
  std::map<std::string, Factor> product;  // by product id
};

class Model {
 public:
  // Anchors every product of the catalogue to its label once. `catalog` must outlive the model.
  explicit Model(const catalog::Catalog& catalog);
  ~Model();
  Model(Model&&) noexcept;
  Model& operator=(Model&&) noexcept;

  Readiness readiness(const Coat& coat, const climate::ClimateSeries& air, Instant start,
                      const Calibration& calibration = {}) const;
  // The same for starts at `first`, an hour later, ... `count` of them, sharing what they have in common. Values agree
  // with `readiness` to rounding (1e-9), whatever the number of threads.
  std::vector<Readiness> readiness_each_hour(const Coat& coat, const climate::ClimateSeries& air, Instant first,
                                             int count, const Calibration& calibration = {}, int threads = 1) const;

  // What `coat` leaves under a next one laid `hours` after it (and over what was beneath itself): lay the next coat
  // with it as `Coat::beneath`. The label holds one coat beneath, followed when the label allows; a first recoat at
  // that moment is at label, a later coat of the same day is not. Expected pace (P50); nothing for bad input.
  Beneath beneath(const Coat& coat, const climate::ClimateSeries& air, Instant start, double hours,
                  const Calibration& calibration = {}) const;

  struct Curve {
    std::vector<double> hours;
    std::vector<double> thickness_um;  // what is on the surface
    std::vector<double> film_temp_c;
    std::vector<double> cure;                    // 0..1
    std::vector<std::string> components;         // ids
    std::vector<std::vector<double>> g_m2;       // [component][time] still in the film
    std::vector<std::vector<double>> g_m2_h;     // [component][time] leaving: what the air room breathes
    std::vector<std::vector<double>> gone_g_m2;  // [component][time] gone through the face since the start
    std::vector<double> heat_j_m2;               // brought by air and radiation since the start
  };
  // Solvent films are followed through their depth on a moving grid (film/slab_film.h). `film_temp_c` at a time is the
  // mean over the step that ends there.
  Curve curve(const Coat& coat, const climate::ClimateSeries& air, Instant start, double hours) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace tackcloth::film
