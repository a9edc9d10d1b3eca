// What one task takes from the shelf: films, what stays behind in the tools, consumables, paper.
#pragma once

#include <vector>

#include "catalog/catalog.h"
#include "job/job.h"
#include "materials/materials.h"
#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

// Expected, at the temperature of the room then. Abrasives are not among them: they are shared by grit (`paper_m2`).
std::vector<materials::Use> uses_of(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                                    double temp_c);

// How something with a pot life is mixed for this task; nothing for what has none. The pot life is the label's, shorter
// where it is warmer (51 kJ/mol, as for the cure of what reacts: docs/film.md) and never longer, and three quarters of
// it are counted on: the last part drags already (common practice, no source).
std::optional<Mixed> mixed_for(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                               double temp_c);
std::string to_text(const Mixed& mix, const catalog::Product& product, units::System system);

// m² of bare wood that the sanding of this task would be for the paper; 0 when it is none.
double paper_m2(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog);
std::string paper_id(int grit);  // "abrasive_p120", as in purchases

// Both together, summed by product: what is drawn from the shelf when the task is done.
std::vector<StepUse> drawn_by(const Task& task, const job::PieceOrder& order, const catalog::Catalog& catalog,
                              double temp_c);

// What nine jobs in ten need of the same, by product; sheets whole.
Results<std::vector<materials::Need>> needs_of(const std::vector<std::pair<std::string, StepUse>>& by_piece,
                                               const catalog::Catalog& catalog);

}  // namespace tackcloth::plan
