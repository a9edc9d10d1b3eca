#include "plan/pace_log.h"

#include <algorithm>
#include <map>

#include "finish/surface_state.h"
#include "plan/step_mark.h"
#include "plan/working_time.h"

namespace tackcloth::plan {
namespace {

struct Told {
  std::optional<std::size_t> task;
  std::optional<StepMark> mark;  // of the newest entry that has one
  std::string step;              // id as logged
  std::optional<Instant> started, done;
  int took_min = 0;
};

// One stretch of hours in which somebody works has both.
bool in_one_stretch(Instant from, Instant to, const job::Job& job) {
  const Instant day = std::chrono::floor<std::chrono::days>(from);
  const calendar::Tick a = (from - day).count(), b = (to - day).count();
  for (const job::Person& person : job.shop.people)
    for (const calendar::Window& open : working_windows(person, day, 1))
      if (open.from <= a && b <= open.to) return true;
  return false;
}

bool ends_step(const std::string& what) { return what == "done" || what.rfind("lead_", 0) == 0; }

// By step, whatever its number is now.
std::map<std::string, Told> told_by_step(const std::vector<LogEntry>& log, const std::vector<Task>& tasks,
                                         const job::Job& job) {
  std::map<std::string, Told> told;
  for (const LogEntry& entry : log) {
    if (!ends_step(entry.what) && entry.what != "started") continue;
    const auto mark = entry.mark.empty() ? std::nullopt : read_mark(entry.mark);
    std::optional<std::size_t> task;
    if (mark) {
      task = find_marked(tasks, job, *mark);
    } else {
      for (std::size_t t = 0; t < tasks.size() && !task; ++t)
        if (tasks[t].id == entry.step) task = t;
    }
    if (!task && !mark) continue;
    std::string key = task ? "now " + std::to_string(*task) : "gone " + entry.mark;
    if (!task)
      key = "gone " + mark->piece + "|" + mark->step + "|" + mark->product + "|" + std::to_string(mark->grit) + "|" +
            std::to_string(mark->nth) + "|" + entry.step;
    Told& of = told[key];
    of.task = task;
    of.step = entry.step;
    if (mark) of.mark = mark;
    if (entry.what == "started") {
      if (!of.started) of.started = entry.when;
      continue;
    }
    if (!of.done) of.done = entry.when;  // as read_log() has it
    if (entry.took_min > 0) of.took_min = entry.took_min;
  }
  return told;
}

}  // namespace

std::string pace_kind(const finish::Step& step) {
  if (finish::lays_film(step.kind) && step.is_film) {
    std::string method = catalog::to_text(step.method);
    std::replace(method.begin(), method.end(), '_', ' ');
    return "coat by " + method;
  }
  std::string kind = finish::to_text(step.kind);
  std::replace(kind.begin(), kind.end(), '_', ' ');
  return kind;
}

std::vector<LearnedPace> paces_used(const OwnPace& pace, const PlannedPiece& piece) {
  std::vector<LearnedPace> used;
  for (const LearnedPace& learned : pace.kinds)
    if (pace.wanted && learned.used &&
        std::any_of(piece.schedule.begin(), piece.schedule.end(),
                    [&](const PlannedStep& step) { return !step.done && step.task_kind == learned.kind; }))
      used.push_back(learned);
  return used;
}

PaceReading read_pace(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, const job::Job& job) {
  PaceReading reading;
  reading.tasks.resize(tasks.size());
  for (const auto& [key, told] : told_by_step(log, tasks, job)) {
    if (!told.done) continue;
    Spent spent;
    if (told.took_min > 0) {
      spent.minutes = told.took_min;
    } else if (told.started && *told.started < *told.done && in_one_stretch(*told.started, *told.done, job)) {
      spent.minutes = double((*told.done - *told.started).count());
      spent.by_clock = true;
    }
    PaceLine line{told.mark ? told.mark->kind : "", told.step, told.mark ? told.mark->table_minutes : 0,
                  spent.minutes.value_or(0), *told.done};
    if (told.mark && told.mark->minutes > 0) spent.planned = told.mark->minutes;
    if (told.task) {
      const Task& task = tasks[*told.task];
      line.step = task.id;
      if (line.kind.empty()) line.kind = pace_kind(task.step);
      if (line.table_min <= 0) line.table_min = task.table_minutes;
      reading.tasks[*told.task] = spent;
    }
    if (spent.minutes && line.table_min > 0 && !line.kind.empty()) reading.lines.push_back(std::move(line));
  }
  std::sort(reading.lines.begin(), reading.lines.end(),
            [](const PaceLine& a, const PaceLine& b) { return a.when != b.when ? a.when < b.when : a.step < b.step; });
  return reading;
}

}  // namespace tackcloth::plan
