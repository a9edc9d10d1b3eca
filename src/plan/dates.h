// Tasks of all pieces put on the calendar.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "calendar/solve.h"
#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

// What the bench has said of a task.
struct Seen {
  std::optional<calendar::Tick> done;          // last minute of its hands-on time
  std::optional<calendar::Tick> not_ready_at;  // still tacky or soft then
  struct Look {
    calendar::Tick at = 0;
    film::Seen what = film::Seen::dry;
  };
  std::vector<Look> looks;  // in the order logged
};

// The hour a task was pinned to. Of two pins that clash the one with the greater `order` is let go.
struct PinWish {
  calendar::Tick at = 0;
  int order = 0;
};

struct DateInput {
  const job::Job* job = nullptr;
  const World* world = nullptr;
  const std::map<std::string, climate::ClimateSeries>* rooms = nullptr;
  const std::vector<Task>* tasks = nullptr;  // of all pieces; `after` points into this list
  const Options* options = nullptr;
  const film::Calibration* calibration = nullptr;
  Instant start;                               // tick 0
  int days = 0;                                // horizon
  calendar::Tick now = 0;                      // nothing that is not done starts before
  std::vector<Seen> seen;                      // one a task
  std::vector<calendar::Tick> previous_start;  // one a task, -1 unknown; empty: first plan
  bool wants_odds = false;                     // work the plan off many times
  std::vector<std::optional<PinWish>> pins;    // one a task; empty: nothing is pinned
};

struct DatedTask {
  calendar::Tick start = 0, end = 0;               // first and last minute of hands-on time
  std::vector<calendar::Window> turns;             // hands-on stretches
  std::vector<std::vector<std::string>> turn_who;  // person ids of each
  double ready_p50_h = 0, ready_p90_h = 0;         // after `end`, for what follows
  double stack_p90_h = 0, use_p90_h = 0;           // after `end`; zero when it is no coat
  double closes_h = film::kNever;
  std::vector<std::string> who;     // person ids
  std::vector<std::string> why;     // reasons, nearest first
  bool late_scuff = false;          // an earlier window had closed: scuff first
  std::string let_go;               // why its pin could not be kept
  calendar::Tick let_go_next = -1;  // from when on it could be; -1: not known
  std::string room;                 // where it dries
};

struct Dated {
  std::vector<DatedTask> tasks;
  std::vector<std::vector<calendar::Tick>> finishes;  // by piece: when it was finished in each trial of the odds
  calendar::Outcome outcome;
  std::vector<catalog::Finding> findings;
};

// A Problem when no calendar exists at all (nobody ever there, too few resting places, ...).
Result<Dated> put_dates(const DateInput& input);

}  // namespace tackcloth::plan
