// What would bring dates forward, for the command line and the page.
#pragma once

#include <functional>
#include <string>

#include "cli/plan_job.h"
#include "plan/sooner.h"

namespace tackcloth::cli {

struct Helped {
  plan::Plan base;
  plan::Helps helps;
};
Results<Helped> sooner_job(const std::string& job_path, const PlanArgs& args, const Context& context,
                           const std::function<bool(int, int)>& between = {});
// The same for a job held as text, with its log; see plan_text().
Results<Helped> sooner_text(std::string_view toml, const std::string& name, const PlanArgs& args,
                            const std::vector<plan::LogEntry>& log, const Context& context,
                            const std::function<bool(int, int)>& between = {});

// {"tried": n, "hurried": [{piece, finish_before, finish_after}],
// "helps": [{kind, what, heed, late_hours_less, finish_hours_less, piece_hours_less, pieces: [...]}]}
std::string to_json(const plan::Helps& helps);

}  // namespace tackcloth::cli
