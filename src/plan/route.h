// From a piece to its tasks: what has to be done, in which order, and what each waits for. No dates yet.
#pragma once

#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "finish/finish.h"
#include "job/job.h"

namespace tackcloth::plan {

// Why a task waits for an earlier one.
enum class Wait {
  order,    // only until its hands-on time is over
  film,     // until its film meets `need`
  rest,     // a fixed rest
  climate,  // until `water_g_m2` has left the wood
};

struct After {
  int task = -1;  // index of the earlier task
  Wait wait = Wait::order;
  film::Need need = film::Need::recoat_same;
  bool window_closes = false;  // the recoat window applies: later costs a scuff
};

struct Task {
  std::string id;
  int piece = 0;                   // index in job.pieces
  std::vector<std::string> zones;  // "part/zone"
  finish::Step step;
  double area_m2 = 0;
  double tape_m = 0;
  double minutes = 0;        // hands-on, whole task
  double table_minutes = 0;  // as the table of paces has it; `minutes` may be at the shop's own pace
  int people = 1;
  film::Lie lie = film::Lie::vertical;
  std::vector<After> after;
};

struct Route {
  std::vector<Task> tasks;  // every `after` points backwards
  std::vector<catalog::Finding> findings;
};

// Tasks of piece `index` of the job. `lead_cleared`: a negative lead test has been logged or stated.
Route route_piece(const job::Job& job, int index, const catalog::Catalog& catalog, const film::Model& film,
                  const finish::Finisher& finisher, finish::Prefer prefer, bool lead_cleared);

}  // namespace tackcloth::plan
