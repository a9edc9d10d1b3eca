// The shelf: what is on it, what of it is kept for open pieces, what is left over when a piece is handed over.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "catalog/catalog.h"
#include "job/job.h"
#include "materials/stock.h"
#include "plan/plan.h"

namespace tackcloth::plan {

// What the job's own [[shelf]] says, as what was there before everything else.
std::vector<materials::Movement> shelf_at_start(const job::Job& job);
materials::KeepsOf keeps_of(const catalog::Catalog& catalog);

// What steps logged as done took, by the mark of their day; an entry without one takes what the plan has for its id.
// A step logged twice took it once, the first time.
std::vector<materials::Movement> used_by(const std::vector<LogEntry>& log,
                                         const std::map<std::string, std::vector<StepUse>>& by_id);

struct ShelfLine {
  std::string product, name, unit;
  materials::Book book;
  std::int64_t usable = 0;                                 // grains: there now, its date not over
  std::int64_t reserved = 0;                               // for steps to come, enough in nine jobs of ten
  std::int64_t free = 0;                                   // usable - reserved; below zero: still to be bought
  std::vector<std::pair<std::string, double>> for_pieces;  // by id, expected, of steps to come
  std::vector<std::string> says;                           // what is odd about it, and how to mend it
};

struct Shelf {
  Instant now;
  std::vector<ShelfLine> lines;  // by name
};
// Of the plan as stored, with what was told since. Amounts whole grains throughout.
Results<Shelf> shelf_of(const job::Job& job, const Plan& plan, const std::vector<materials::Movement>& told,
                        const std::vector<LogEntry>& log, const catalog::Catalog& catalog, Instant now);

}  // namespace tackcloth::plan
