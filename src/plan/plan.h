// The whole plan as one value, from a job, the catalogue and the weather. Pure: no clock, no files, no randomness.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "air/vapour.h"
#include "calendar/solve.h"
#include "catalog/finding.h"
#include "climate/weather.h"
#include "film/calibrate.h"
#include "finish/finish.h"
#include "job/job.h"
#include "materials/materials.h"
#include "materials/stock.h"
#include "plan/pace.h"

namespace tackcloth::plan {

// One stretch of hands-on time; long work is cut into several.
struct Turn {
  Instant start, end;
  std::vector<std::string> who;  // person ids
};

// What a step waits for: an earlier step, and what of it ("order": only its hands-on time; "rest": its rest; else the
// film::Need its film has to meet).
struct WaitFor {
  std::string step;
  std::string need;
};

// A step that was pinned to an hour by hand.
struct Pinned {
  Instant start;
  bool kept = true;  // else the plan could not, and `why` says it
  std::string why;
  std::optional<Instant> next;  // from then on it could be, as far as that is known
  friend bool operator==(const Pinned&, const Pinned&) = default;
};

// What a step takes from the shelf, expected: in the product's own unit.
struct StepUse {
  std::string product;
  double amount = 0;
  friend bool operator==(const StepUse&, const StepUse&) = default;
};

// Something that begins to set once it is mixed: batches no larger than are laid while the pot is good.
struct Mixed {
  int batches = 1;
  double each = 0;        // in the product's unit, with what stays in the pot
  double within_min = 0;  // of mixing, at the temperature of the room then
  double temp_c = 0;
  friend bool operator==(const Mixed&, const Mixed&) = default;
};

// Of what was bought for a job: what is left when a piece is handed over, and what of its price that is.
struct LeftOver {
  std::string product, name, unit;
  double amount = 0;
  Money in_price;
};

// One line of the dated schedule of a piece.
struct PlannedStep {
  std::string id;     // "P1-07": stable for the same job
  std::string zones;  // ids, comma separated
  finish::StepKind kind = finish::StepKind::wait;
  std::string step;  // finish::to_text(kind)
  std::string text, product, product_name, method, reason, ready_by_hand;
  int grit = 0;
  double wet_um = 0, area_m2 = 0, minutes = 0;
  std::string task_kind;              // for its pace (plan/pace_log.h)
  double table_minutes = 0;           // `minutes` as the table of paces has them; they may be at the shop's own
  std::optional<double> took_minutes;  // done, and its time was told
  int people = 1;
  std::vector<std::string> who;
  Instant start, end, ready_p50, ready_p90;
  std::optional<Instant> recoat_closes;
  std::vector<Turn> turns;  // from start to end, with the nights between left out
  std::vector<WaitFor> waits_for;
  std::string room;  // where it dries
  climate::Air air;  // assumed at the start
  std::vector<std::string> notes;
  std::string why_here;  // chain of reasons from the calendar
  bool done = false;
  std::vector<StepUse> uses;
  std::optional<Mixed> mix;
  std::optional<Pinned> pinned;
};

struct PlannedZone {
  std::string id, part, face, treatment;
  double area_m2 = 0, tape_mm = 0;
  // Flat zones on one face, for drawing: seen from the left bottom corner of the face, each edge from the one before.
  double face_width_mm = 0, face_height_mm = 0;
  std::vector<shape::Outline> outlines;
};

struct PlannedPiece {
  std::string id, name, owner, room;
  int resting_units = 1;  // resting places it takes while a coat dries
  std::optional<Instant> due;
  Instant finish;
  bool late = false;
  std::string late_reason;
  std::optional<double> odds;         // of keeping `due`, 0..1, from what the film engine is unsure of alone
  std::optional<Instant> finish_p50;  // half of the trials were finished by then
  std::optional<Instant> promise_90;  // the day to promise: nine trials in ten were finished by its end
  std::vector<PlannedZone> zones;
  std::vector<PlannedStep> schedule;
  materials::Price price;
  std::vector<LeftOver> left_over;
  double bench_hours = 0;
  air::Verdict air;               // of the worst day
  std::vector<std::string> care;  // for the owner
  // When things may stand on it, and when it is as hard as it gets: nine in ten, of the last of all its coats, in the
  // air of the shop. The second is never before the label's time; nothing when the air does not let it come.
  std::optional<Instant> light_use, full_use;
};

// What the bench has taught so far. Logs of factors on drying time: 0 is the label, 0.1 a tenth slower.
struct LearnedProduct {
  std::string product, product_name;
  int entries = 0;
  double prior_mean = 0, prior_sigma = 0, posterior_mean = 0, posterior_sigma = 0;
  double recoat_p50_before_h = 0, recoat_p50_after_h = 0;  // at label conditions
  double recoat_p90_before_h = 0, recoat_p90_after_h = 0;
};
struct PromiseMoved {
  std::string piece;
  Instant finish_before, finish_after;  // the same log, dated without and with what was learned
};
// One look at one coat, with the air of its room averaged until then; a line for `dry --learn`.
struct BenchLook {
  std::string step, product;
  Instant applied;
  double wet_um = 0, temp_c = 0, rh = 0, air_m_s = 0, hours = 0;
  std::string seen, ground, lie;
};
struct Taught {
  double shop_prior_mean = 0, shop_prior_sigma = 0, shop_posterior_mean = 0, shop_posterior_sigma = 0;
  std::vector<LearnedProduct> products;
  std::vector<PromiseMoved> promises;
  std::vector<BenchLook> looks;
  std::vector<std::string> messages;  // entries set aside, contradictions
  OwnPace pace;
};

// When a person is there, and a room with its resting places: what a calendar of the plan shows as open and closed.
struct OpenHours {
  Instant start, end;
};
struct PlannedPerson {
  std::string id, name;
  std::vector<OpenHours> hours;  // from the day the plan starts to a week after it is finished
};
struct PlannedRoom {
  std::string id;
  int resting_places = 0;
};

struct Plan {
  std::string job_file, shop;
  Instant start, finish, lower_bound;
  double gap_percent = 0;
  bool proven = false;
  std::vector<PlannedPerson> people;
  std::vector<PlannedRoom> rooms;
  std::vector<PlannedPiece> pieces;
  std::vector<catalog::Finding> findings;
  std::vector<materials::Purchase> purchases;
  materials::Price cost;
  std::string currency;
  units::System system = units::System::metric;
  Taught taught;
  bool must_not() const;  // any finding of that severity
};

// What was logged at the bench.
struct LogEntry {
  std::string step;  // PlannedStep id
  Instant when;
  std::string what;  // one of log_words()
  std::string note;
  std::string mark = {};  // what the step was when this was logged (plan/step_mark.h); empty: the id says it
  int took_min = 0;       // hands-on minutes of the whole step, with "done"; 0: not told
};

// A step pinned to an hour: a wish which the plan keeps if it can, before all promises, never a fact. Where it cannot,
// the pin is let go in that plan, which says so.
struct Pin {
  std::string step;              // PlannedStep id
  std::optional<Instant> start;  // nothing: pins of this step made before are let go
  std::string mark = {};         // what the step was when it was pinned (plan/step_mark.h); empty: the id says it
};

// "started", "done", "tacky", "soft", "dry", "sands_to_powder", "lead_negative", "lead_positive", "problem".
const std::vector<std::string>& log_words();

struct Options {
  std::optional<Instant> start;  // else the job's
  std::uint64_t seed = 1;
  int threads = 1;
  std::int64_t schedules = 400;
  std::int64_t proof_conflicts = 0;  // dead ends an exact search may meet on top of it; 0: none
  finish::Prefer prefer = finish::Prefer::fastest;
  bool odds = true;                       // work the plan off many times for the odds of each promise
  std::vector<film::BenchEntry> history;  // of earlier jobs: what they taught counts from the first plan on
  std::vector<PaceLine> pace_history;     // likewise: how long steps took
  bool own_pace = true;                   // else, or when the shop does not want it, the table's
  std::vector<LogEntry> log;              // replans from the newest entry on; its looks at coats teach as well
  std::vector<materials::Movement> stock;  // what was told of the shelf: then `purchases` is what is still to buy of it
  std::vector<Pin> pins;                  // in the order they were made: of two that clash the newer one is let go
  std::optional<Instant> not_before;      // nothing that is not done is planned before this moment either
};

struct World {
  const catalog::Catalog* catalog = nullptr;
  const film::Model* film = nullptr;
  const finish::Finisher* finisher = nullptr;
  std::optional<climate::Weather> weather;  // needed when a room follows outdoors
};

Results<Plan> make_plan(const job::Job& job, const World& world, const Options& options);

// Would the plan keep this pin, beside those in `options`? A Problem says why not and from when on the step could be.
// `standing` is the plan as it stands, `now` the clock. A few schedules only: what it lets through a full plan keeps.
Results<void> check_pin(const job::Job& job, const World& world, const Options& options, const Plan& standing,
                        const Pin& pin, Instant now);

// The JSON of `tackcloth plan --json`; the contract is in docs/plan-json.md.
std::string to_json(const Plan& plan);
Result<Plan> from_json(std::string_view json);

}  // namespace tackcloth::plan
