// Drying lags as the calendar wants them: the film engine asked at the hours at which work can end.
#pragma once

#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "calendar/model.h"
#include "catalog/catalog.h"
#include "climate/series.h"
#include "film/film.h"
#include "finish/finish.h"

namespace tackcloth::plan {

// One film or washed surface in one room's air, asked at sampled ticks. Between two samples the longer lag counts, so
// the table is never shorter than the engine at either side.
class LagTable {
 public:
  struct World {
    const catalog::Catalog* catalog;
    const film::Model* film;
    const film::Calibration* calibration;
    Instant start;                        // tick 0
    std::vector<calendar::Tick> samples;  // sorted
  };

  // `under`: the coat this one goes on, laid its own P90 wait before; nullptr: nothing is drying beneath.
  LagTable(const World& world, const climate::ClimateSeries& air, const finish::Step& step, film::Lie lie,
           const LagTable* under = nullptr);

  // Lag after the end of the work until the film meets `need` at P90, in ticks.
  calendar::TimeFunction lag(film::Need need) const;
  calendar::TimeFunction closes() const;
  // Ticks during which the coat may be put on: air within the product's limits, surface clear of the dew point, and
  // every need met sooner or later. Empty: never.
  const std::vector<calendar::Window>& fit() const { return fit_; }
  bool always_fit() const { return always_fit_; }
  // Why the first unfit sample is unfit; empty when all are fit.
  const std::string& unfit_reason() const { return unfit_reason_; }
  // The coat as it is laid at `tick`, with what is assumed beneath it.
  film::Coat coat_at(calendar::Tick tick) const;

 private:
  struct Sample {
    calendar::Tick at;
    film::Readiness ready;
    bool fit;
    film::Beneath beneath;
  };
  const Sample& sample_at(calendar::Tick tick) const;
  film::Coat coat_;
  film::Need need_;
  std::vector<Sample> samples_;
  std::vector<calendar::Window> fit_;
  bool always_fit_ = true;
  std::string unfit_reason_;
};

// Whole minutes, up; never beyond a year, which stands for "not in this plan".
calendar::Tick lag_ticks(double hours);

// Lag until `water_g_m2` has left the wood, at the sampled ticks.
calendar::TimeFunction drying_back(const LagTable::World& world, const climate::ClimateSeries& air, double water_g_m2);

// Is the air fit for this product now? Empty: yes; else the reason in words.
std::string unfit_for(const catalog::Product& product, const climate::Air& air);

}  // namespace tackcloth::plan
