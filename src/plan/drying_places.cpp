#include "plan/drying_places.h"

#include <algorithm>
#include <set>

#include "units/quantity.h"

namespace tackcloth::plan {

using calendar::Tick;

namespace {

// The film engine is asked at the start and end of each working window and every two hours between.
constexpr Tick kSampleEvery = 120;

std::vector<Tick> sample_times(const std::vector<calendar::Window>& working) {
  std::vector<Tick> at;
  for (const calendar::Window& window : working) {
    for (Tick t = window.from; t < window.to; t += kSampleEvery) at.push_back(t);
    at.push_back(window.to);
  }
  std::sort(at.begin(), at.end());
  at.erase(std::unique(at.begin(), at.end()), at.end());
  return at;
}

// All-over coats that build one film. Fillers are spots, levelled once hard; spirits and cleaners leave nothing
// beneath.
bool builds(finish::StepKind kind) {
  using enum finish::StepKind;
  return kind == stain || kind == barrier || kind == seal || kind == prime || kind == paint || kind == clear ||
         kind == oil || kind == wax || kind == metal_coat;
}

// The last coat before task `t` on any of its zones.
int coat_under(const std::vector<Task>& tasks, std::size_t t) {
  for (std::size_t i = t; i-- > 0;) {
    const Task& before = tasks[i];
    if (before.piece != tasks[t].piece) break;
    const bool same = std::any_of(before.zones.begin(), before.zones.end(), [&](const std::string& zone) {
      return std::find(tasks[t].zones.begin(), tasks[t].zones.end(), zone) != tasks[t].zones.end();
    });
    if (same && before.step.kind == finish::StepKind::strip) return -1;
    if (same && before.step.is_film && builds(before.step.kind)) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace

Instant end_of_promise(Instant due) {
  const auto day = std::chrono::floor<std::chrono::days>(due);
  return due == Instant(day) ? due + std::chrono::hours(24) : due;
}

const LagTable& DryingPlaces::table_for(const std::string& room, const climate::ClimateSeries& air, const Task& task,
                                        const LagTable* under) {
  const Key key{room, task.step.product, task.step.wet_um, task.step.ground, task.lie, under};
  auto found = tables_.find(key);
  if (found == tables_.end())
    found = tables_.emplace(key, std::make_unique<LagTable>(world_, air, task.step, task.lie, under)).first;
  return *found->second;
}

const climate::ClimateSeries& DryingPlaces::warmed(const std::string& room, double to_c) {
  const std::string key = room + " at " + std::to_string(static_cast<int>(to_c));
  if (const auto found = warmed_.find(key); found != warmed_.end()) return found->second;
  const climate::ClimateSeries& cold = in_.rooms->at(room);
  std::vector<climate::Air> states = cold.states();
  for (climate::Air& air : states) {
    const double pv = climate::vapour_pressure_pa(air);
    air.temp_c = std::max(air.temp_c, to_c);
    air.rh = std::min(0.6, climate::rh_from_vapour_pressure(air.temp_c, pv));
  }
  return warmed_.emplace(key, climate::ClimateSeries::hourly(cold.first(), std::move(states))).first->second;
}

void DryingPlaces::find(const std::vector<calendar::Window>& working) {
  world_ = {in_.world->catalog, in_.world->film, in_.calibration, in_.start, sample_times(working)};
  // For a done step the exact minute counts, not the working hours.
  for (const Seen& seen : in_.seen)
    if (seen.done) world_.samples.push_back(*seen.done);
  std::sort(world_.samples.begin(), world_.samples.end());
  world_.samples.erase(std::unique(world_.samples.begin(), world_.samples.end()), world_.samples.end());
  std::set<std::string> told;
  const auto tell = [&](catalog::Finding finding) {
    if (told.insert(finding.piece + finding.reason).second) findings_.push_back(std::move(finding));
  };
  for (std::size_t t = 0; t < in_.tasks->size(); ++t) {
    const Task& task = (*in_.tasks)[t];
    under_.push_back(task.step.is_film && builds(task.step.kind) ? coat_under(*in_.tasks, t) : -1);
    const LagTable* beneath = under_.back() >= 0 ? table_[static_cast<std::size_t>(under_.back())] : nullptr;
    const job::PieceOrder& order = in_.job->pieces[static_cast<std::size_t>(task.piece)];
    room_.push_back(order.room);
    air_.push_back(&in_.rooms->at(order.room));
    table_.push_back(nullptr);
    if (!task.step.is_film) continue;
    table_.back() = &table_for(order.room, *air_.back(), task, beneath);
    if (table_.back()->always_fit() || !table_.back()->fit().empty()) continue;
    const std::string reason = table_.back()->unfit_reason();
    bool moved = false;
    for (const job::Room& other : in_.job->shop.rooms) {
      if (other.id == order.room || other.resting_places < order.piece.resting_units) continue;
      const LagTable& there = table_for(other.id, in_.rooms->at(other.id), task, beneath);
      if (!there.always_fit()) continue;
      room_.back() = other.id;
      air_.back() = &in_.rooms->at(other.id);
      table_.back() = &there;
      tell({"room-not-fit", catalog::Severity::caution,
            "In " + order.room + " the air is not fit for this coat in the weeks planned: " + reason + ".",
            "Carry the piece to " + other.id + " for the coats; planned so.",
            "product limits in the catalogue; ISO 8502-4 for the dew point", order.piece.id, ""});
      moved = true;
      break;
    }
    if (moved) continue;
    const double to_c = in_.world->catalog->product(task.step.product)->min_temp_c + 3;
    air_.back() = &warmed(order.room, to_c);
    table_.back() = &table_for(order.room + " warmed", *air_.back(), task, beneath);
    tell({"room-not-fit", catalog::Severity::must_not,
          "In " + order.room + " the air is not fit for this coat in the weeks planned: " + reason + ".",
          "Warm the room to at least " + units::format_temperature(to_c, in_.job->shop.system) +
              " and under 60 % humidity from the coat until it has dried (the dates assume so), wait for the season, "
              "or choose another product.",
          "product limits in the catalogue; ISO 8502-4 for the dew point", order.piece.id, ""});
  }
}

const std::string& DryingPlaces::room_of(int task) const { return room_[static_cast<std::size_t>(task)]; }
const climate::ClimateSeries& DryingPlaces::air(int task) const { return *air_[static_cast<std::size_t>(task)]; }
const LagTable* DryingPlaces::table(int task) const { return table_[static_cast<std::size_t>(task)]; }

int DryingPlaces::under(int task) const { return under_[static_cast<std::size_t>(task)]; }

calendar::TimeFunction DryingPlaces::drying_back(int task) const {
  const double water = (*in_.tasks)[static_cast<std::size_t>(task)].step.water_g_m2;
  const auto key = std::make_pair(air_[static_cast<std::size_t>(task)], water);
  auto found = drying_back_.find(key);
  if (found == drying_back_.end())
    found = drying_back_.emplace(key, plan::drying_back(world_, *key.first, water)).first;
  return found->second;
}

}  // namespace tackcloth::plan
