// Where each task dries, in which air, and how long: one lag table for each different film and room.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <vector>

#include "plan/dates.h"
#include "plan/lag_table.h"

namespace tackcloth::plan {

// A promise for a day (midnight) is kept until that day ends.
Instant end_of_promise(Instant due);

class DryingPlaces {
 public:
  explicit DryingPlaces(const DateInput& input) : in_(input) {}

  // Asks the film engine at the times at which work can end. A piece whose room is not fit within the horizon is dried
  // in another room that is, with a caution; without one, the air is taken as warmed to the product's minimum, with a
  // must-not finding.
  void find(const std::vector<calendar::Window>& working);

  const std::string& room_of(int task) const;
  int under(int task) const;  // the film task whose coat this one goes on; -1: none
  const climate::ClimateSeries& air(int task) const;
  const LagTable* table(int task) const;               // nullptr: no film
  calendar::TimeFunction drying_back(int task) const;  // of a washed surface
  const std::vector<catalog::Finding>& findings() const { return findings_; }

 private:
  // room, product, film, ground, lie, what it goes on
  using Key = std::tuple<std::string, std::string, double, film::Ground, film::Lie, const LagTable*>;
  const LagTable& table_for(const std::string& room, const climate::ClimateSeries& air, const Task& task,
                            const LagTable* under);
  const climate::ClimateSeries& warmed(const std::string& room, double to_c);

  const DateInput& in_;
  LagTable::World world_{};
  std::map<Key, std::unique_ptr<LagTable>> tables_;
  std::map<std::string, climate::ClimateSeries> warmed_;
  std::vector<std::string> room_;
  std::vector<int> under_;
  std::vector<const climate::ClimateSeries*> air_;
  std::vector<const LagTable*> table_;
  mutable std::map<std::pair<const climate::ClimateSeries*, double>, calendar::TimeFunction> drying_back_;
  std::vector<catalog::Finding> findings_;
};

}  // namespace tackcloth::plan
