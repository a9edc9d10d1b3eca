// A path of moves as steps in words, and the rules an order breaks.
#pragma once

#include "finish/search.h"

namespace tackcloth::finish {

// Broken rules, each once, in the order they are met. Severity must-not first is not promised.
std::vector<catalog::Finding> broken(const Scene& scene, const std::vector<Compiled>& rules,
                                     const std::vector<Step>& steps);
// Steps of a path with the needs each film is left for, reasons and the rules that put each step there.
std::vector<Step> steps_of(const Scene& scene, const Goal& goal, const std::vector<Compiled>& rules, const Path& path);
catalog::Finding finding_of(const Rule& rule);
bool has_must_not(const std::vector<catalog::Finding>& findings);

}  // namespace tackcloth::finish
