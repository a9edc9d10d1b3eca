// An independent reading of a finished plan: every promise the plan makes is checked from the job, the catalogue and
// the plan's own published values. It shares no code with the calendar or the plan room's scheduling.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "plan/plan.h"

namespace tackcloth::testing {

class PlanChecker {
 public:
  PlanChecker(const job::Job& job, const plan::Plan& plan, const catalog::Catalog& catalog)
      : job_(job), plan_(plan), catalog_(catalog) {}

  std::vector<std::string> violations() {
    check_hands();
    check_order();
    check_resting_places();
    check_spray_places();
    check_air();
    check_lead();
    check_promises();
    check_money();
    return std::move(bad_);
  }

 private:
  using Step = plan::PlannedStep;
  void say(const Step& step, const std::string& what) { bad_.push_back(step.id + " " + step.text + ": " + what); }

  static int minute_of_day(Instant t) {
    return static_cast<int>((t - std::chrono::floor<std::chrono::days>(t)).count());
  }

  bool at_work(const job::Person& person, Instant from, Instant to) const {
    const auto day = std::chrono::floor<std::chrono::days>(from);
    const std::vector<job::DayHours>* hours = &person.week[std::chrono::weekday(day).c_encoding()];
    for (const auto& exception : person.exceptions)
      if (exception.day == day) hours = &exception.hours;
    const long length = (to - from).count();
    return std::any_of(hours->begin(), hours->end(), [&](const job::DayHours& h) {
      return h.from_min <= minute_of_day(from) && minute_of_day(from) + length <= h.to_min;
    });
  }

  void check_hands() {
    std::map<std::string, std::vector<std::pair<Instant, Instant>>> busy;
    for (const auto& piece : plan_.pieces) {
      for (const Step& step : piece.schedule) {
        if (step.turns.empty()) say(step, "has no turn");
        double minutes = 0;
        for (const plan::Turn& turn : step.turns) {
          minutes += double((turn.end - turn.start).count());
          if (static_cast<int>(std::set<std::string>(turn.who.begin(), turn.who.end()).size()) != step.people)
            say(step, "has the wrong number of hands");
          for (const std::string& who : turn.who) {
            const auto person = std::find_if(job_.shop.people.begin(), job_.shop.people.end(),
                                             [&](const job::Person& p) { return p.id == who; });
            if (person == job_.shop.people.end())
              say(step, "is given to a stranger");
            else if (!at_work(*person, turn.start, turn.end))
              say(step, "is outside the hours of " + who);
            busy[who].emplace_back(turn.start, turn.end);
          }
          if (turn.start < plan_.start) say(step, "starts before the plan");
        }
        if (minutes + 1e-6 < step.minutes) say(step, "has less time than it needs");
      }
    }
    for (auto& [who, spans] : busy) {
      std::sort(spans.begin(), spans.end());
      for (std::size_t i = 1; i < spans.size(); ++i)
        if (spans[i].first < spans[i - 1].second)
          bad_.push_back(who + " is in two places at " + to_iso(spans[i].first));
    }
  }

  void check_order() {
    for (const auto& piece : plan_.pieces) {
      std::map<std::string, const Step*> by_id;
      for (const Step& step : piece.schedule) by_id[step.id] = &step;
      for (const Step& step : piece.schedule) {
        for (const auto& wait : step.waits_for) {
          const auto before = by_id.find(wait.step);
          if (before == by_id.end()) {
            say(step, "waits for an unknown step " + wait.step);
            continue;
          }
          const Step& earlier = *before->second;
          if (step.start < earlier.end) say(step, "starts before " + wait.step + " ends");
          // The need the plan states for what follows is checked against the time the film engine gave for it.
          if (wait.need == "rest" && step.start < earlier.ready_p90) say(step, "cuts the rest of " + wait.step);
          if (wait.need == film::to_text(film::Need::recoat_same) || wait.need == film::to_text(film::Need::scuff) ||
              wait.need == film::to_text(film::Need::recoat_other)) {
            if (step.start < earlier.ready_p90) say(step, "comes before " + wait.step + " is ready (P90)");
            if (earlier.recoat_closes && step.start > *earlier.recoat_closes &&
                std::none_of(step.notes.begin(), step.notes.end(),
                             [](const std::string& n) { return n.find("recoat window") != std::string::npos; }))
              say(step, "misses the recoat window of " + wait.step + " without a scuff");
          }
        }
      }
      check_sequence(piece);
    }
  }

  // Facts of the trade that hold whatever the rules say: washing before sanding, grits upwards, coats after sanding.
  void check_sequence(const plan::PlannedPiece& piece) {
    std::map<std::string, std::vector<const Step*>> by_zone;
    for (const Step& step : piece.schedule) {
      std::string rest = step.zones;
      while (!rest.empty()) {
        const auto comma = rest.find(", ");
        by_zone[rest.substr(0, comma)].push_back(&step);
        rest = comma == std::string::npos ? "" : rest.substr(comma + 2);
      }
    }
    for (auto& [zone, steps] : by_zone) {
      std::stable_sort(steps.begin(), steps.end(), [](const Step* a, const Step* b) { return a->start < b->start; });
      bool sanded = false;
      for (const Step* step : steps) {
        if (step->step == "sand") sanded = true;
        if (step->step == "wash" && sanded) say(*step, "washes " + zone + " after sanding it");
      }
    }
  }

  void check_capacity(const std::string& what, std::vector<std::pair<Instant, int>> changes, int capacity) {
    std::sort(changes.begin(), changes.end());
    int level = 0;
    for (const auto& [when, by] : changes) {
      level += by;
      if (level > capacity) {
        bad_.push_back(what + " is over its capacity at " + to_iso(when));
        return;
      }
    }
  }

  int resting_units(const std::string& piece) const {
    for (const auto& order : job_.pieces)
      if (order.piece.id == piece) return order.piece.resting_units;
    return 1;
  }

  bool is_film(const Step& step) const {
    const catalog::Product* product = catalog_.product(step.product);
    return product && product->kind != catalog::Kind::consumable && step.wet_um > 0 && step.step != "wash" &&
           step.step != "degrease" && step.step != "strip" && step.step != "neutralize" && step.step != "metal_clean" &&
           step.ready_p90 > step.end;
  }

  void check_resting_places() {
    for (const job::Room& room : job_.shop.rooms) {
      std::vector<std::pair<Instant, int>> changes;
      for (const auto& piece : plan_.pieces)
        for (const Step& step : piece.schedule) {
          const bool coat = step.step == "paint" || step.step == "clear" || step.step == "prime" ||
                            step.step == "seal" || step.step == "barrier" || step.step == "stain" ||
                            step.step == "metal_coat" || step.step == "oil" || step.step == "wax";
          if (!coat || step.room != room.id || !is_film(step)) continue;
          const Instant from = step.turns.empty() ? step.start : step.turns.back().start;
          changes.emplace_back(from, resting_units(piece.id));
          changes.emplace_back(step.ready_p90, -resting_units(piece.id));
        }
      check_capacity("resting place in " + room.id, std::move(changes), room.resting_places);
    }
  }

  void check_spray_places() {
    for (const job::Room& room : job_.shop.rooms) {
      if (room.spray_places == 0) continue;
      std::vector<std::pair<Instant, int>> changes;
      for (const auto& piece : plan_.pieces)
        for (const Step& step : piece.schedule)
          if (step.room == room.id && (step.method == "spray gun" || step.method == "aerosol"))
            for (const plan::Turn& turn : step.turns) {
              changes.emplace_back(turn.start, 1);
              changes.emplace_back(turn.end, -1);
            }
      check_capacity("spray place in " + room.id, std::move(changes), room.spray_places);
    }
  }

  void check_air() {
    const bool warned = std::any_of(plan_.findings.begin(), plan_.findings.end(),
                                    [](const auto& finding) { return finding.rule == "room-not-fit"; });
    for (const auto& piece : plan_.pieces)
      for (const Step& step : piece.schedule) {
        const catalog::Product* product = catalog_.product(step.product);
        if (!product || !is_film(step) || warned) continue;
        if (step.air.temp_c < product->min_temp_c - 1e-9 || step.air.temp_c > product->max_temp_c + 1e-9)
          say(step, "is put on at " + std::to_string(step.air.temp_c) + " °C");
        if (step.air.rh > product->max_rh + 1e-9) say(step, "is put on in air too damp for it");
      }
  }

  void check_lead() {
    for (std::size_t p = 0; p < plan_.pieces.size(); ++p) {
      if (!piece::lead_possible(job_.pieces[p].piece) || job_.pieces[p].piece.lead_test_negative) continue;
      const auto& schedule = plan_.pieces[p].schedule;
      const auto test =
          std::find_if(schedule.begin(), schedule.end(), [](const Step& s) { return s.step == "lead_test"; });
      for (const Step& step : schedule) {
        if (step.step != "sand" && step.step != "scuff") continue;
        const bool old_surface = std::any_of(step.notes.begin(), step.notes.end(), [](const std::string& note) {
          return note.find("lead test") != std::string::npos;
        });
        if (!old_surface) continue;  // sanding of new coats
        if (test == schedule.end() || step.start < test->end) say(step, "sands before the lead test");
      }
      if (std::none_of(plan_.findings.begin(), plan_.findings.end(), [&](const catalog::Finding& f) {
            return f.piece == plan_.pieces[p].id && (f.rule.find("lead") != std::string::npos);
          }))
        bad_.push_back(plan_.pieces[p].id + " may hold lead and no caution says so");
    }
  }

  void check_promises() {
    Instant finish = plan_.start;
    for (const auto& piece : plan_.pieces) {
      Instant end = plan_.start;
      for (const Step& step : piece.schedule) end = std::max(end, step.end);
      if (end != piece.finish) bad_.push_back(piece.id + " states a finish that is not its last step");
      if (piece.due) {
        const bool midnight = minute_of_day(*piece.due) == 0;
        const Instant limit = midnight ? *piece.due + std::chrono::hours(24) : *piece.due;
        if (piece.late != (piece.finish > limit)) bad_.push_back(piece.id + " states its lateness wrongly");
        if (piece.late && piece.late_reason.empty()) bad_.push_back(piece.id + " is late without a reason");
      }
      finish = std::max(finish, piece.finish);
    }
    if (finish != plan_.finish) bad_.push_back("the plan's finish is not its last step");
    if (plan_.lower_bound > plan_.finish) bad_.push_back("the lower bound lies after the finish");
  }

  void check_money() {
    const auto& c = plan_.cost;
    if (c.total.minor != c.materials.minor + c.labour.minor + c.overhead.minor + c.profit.minor + c.tax.minor)
      bad_.push_back("the price does not add up");
    std::int64_t pieces = 0, bought = 0;
    for (const auto& piece : plan_.pieces) pieces += piece.price.materials.minor;
    for (const auto& purchase : plan_.purchases) {
      bought += purchase.total.minor;
      std::int64_t lines = 0;
      for (const auto& line : purchase.lines) {
        lines += line.total.minor;
        if (line.total.minor != line.each.minor * line.count)
          bad_.push_back(purchase.product + ": a line does not add up");
      }
      if (lines != purchase.total.minor) bad_.push_back(purchase.product + ": the total is not the sum of its lines");
    }
    if (pieces != c.materials.minor) bad_.push_back("materials of the pieces are not the materials of the plan");
    if (pieces != bought) bad_.push_back("what is bought is not what is charged");
  }

  const job::Job& job_;
  const plan::Plan& plan_;
  const catalog::Catalog& catalog_;
  std::vector<std::string> bad_;
};

}  // namespace tackcloth::testing
