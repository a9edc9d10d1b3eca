// Worth taking on? As it is asked on the command line and on the page, and the answer as JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "job/job.h"
#include "plan/worth.h"

namespace tackcloth::cli {

// As somebody wrote it; empty: not said.
struct WorthAsked {
  std::string width, height, depth, damage, year, existing, wanted, market;
  int fronts = -1;
  bool solid = false;  // known not to be veneered
};
struct WorthRead {
  plan::Candidate candidate;
  std::optional<Money> market;
};
// All problems at once; `dashes` stands before the names in them.
Results<WorthRead> candidate_of(const WorthAsked& asked, const std::string& dashes);

nlohmann::ordered_json worth_json(const plan::Worth& worth, const job::Shop& shop);

}  // namespace tackcloth::cli
