// From the command line to an offer: what quote, papers and worth share.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cli/command.h"
#include "materials/offer.h"
#include "plan/plan.h"
#include "sheet/sheet.h"

namespace tackcloth::cli {

struct OfferArgs {
  std::string market, earn, deposit;  // money as text; empty: not asked, the job's own
};
void add_offer_options(CLI::App& command, OfferArgs& args);

Result<materials::Offer> offer_of(const job::Job& job, const plan::Plan& plan, std::size_t piece,
                                  const OfferArgs& args);
nlohmann::ordered_json offer_json(const materials::Offer& offer);

}  // namespace tackcloth::cli
