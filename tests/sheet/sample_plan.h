// Plans made by hand, so that the papers are tested without the engines.
#pragma once

#include <string>

#include "plan/plan.h"

namespace tackcloth::sheet {

inline Instant at(int day, int hour, int minute = 0) {
  using namespace std::chrono;
  return Instant(local_days(year_month_day(year{2026}, March, std::chrono::day{2})) + days(day) + hours(hour) +
                 minutes(minute));
}

struct Maker {
  plan::PlannedPiece piece;
  int number = 0;

  plan::PlannedStep& add(finish::StepKind kind, const std::string& text, Instant start, int minutes) {
    plan::PlannedStep step;
    ++number;
    step.id = piece.id + (number < 10 ? "-0" : "-") + std::to_string(number);
    step.kind = kind;
    step.text = text;
    step.zones = "top";
    step.minutes = minutes;
    step.area_m2 = 0.9;
    step.start = start;
    step.end = step.ready_p50 = step.ready_p90 = start + Minutes(minutes);
    step.who = {"Ada"};
    piece.schedule.push_back(step);
    return piece.schedule.back();
  }
  plan::PlannedStep& sand(int grit, Instant start, int minutes) {
    auto& step = add(finish::StepKind::sand, "Sand P" + std::to_string(grit) + ", with the grain", start, minutes);
    step.grit = grit;
    step.reason = "Each grit takes out the scratches of the one before.";
    return step;
  }
  plan::PlannedStep& coat(const std::string& text, const std::string& product, Instant start, int minutes, double p50_h,
                          double p90_h) {
    auto& step = add(finish::StepKind::clear, text, start, minutes);
    step.product = product;
    step.product_name = "Satin wiping varnish";
    step.method = "wiping cloth";
    step.wet_um = 40;
    step.ready_p50 = after(step.end, p50_h);
    step.ready_p90 = after(step.end, p90_h);
    step.ready_by_hand = "A fingertip leaves no mark and the scuff makes dust, not crumbs";
    step.notes = {"Stir through the whole job, do not shake", "Thin coats: wipe on, then wipe off what stands"};
    return step;
  }
};

inline plan::PlannedPiece sample_piece() {
  Maker make;
  make.piece.id = "P1";
  make.piece.name = "Hall table";
  make.piece.owner = "M. Example";
  make.piece.room = "bench";
  make.piece.due = at(9, 0);
  make.piece.finish = at(5, 10);
  make.piece.bench_hours = 5.5;
  make.piece.care = {"Seven days gentle: no wet cloths, nothing heavy left standing.", "Dust with a soft dry cloth."};
  make.add(finish::StepKind::wash, "Wash with a mild cleaner, wrung-out cloth", at(0, 8), 30).product_name =
      "Mild wood cleaner";
  make.piece.schedule.back().product = "cleaner";
  make.piece.schedule.back().ready_p50 = at(0, 12);
  make.piece.schedule.back().ready_p90 = at(0, 14);
  make.piece.schedule.back().ready_by_hand = "The wood feels as warm as a dry board beside it";
  make.sand(120, at(0, 14), 25);
  make.sand(220, at(0, 14, 25), 20);
  make.sand(320, at(0, 14, 45), 20);
  make.add(finish::StepKind::dust_off, "Vacuum, then tack cloth", at(0, 15, 5), 10);
  make.coat("Wipe on the first coat", "varnish", at(0, 15, 30), 25, 7, 11);
  make.add(finish::StepKind::scuff, "Scuff P320, light hand", at(1, 9), 15).grit = 320;
  make.add(finish::StepKind::dust_off, "Tack cloth", at(1, 9, 15), 5);
  make.coat("Wipe on the second coat", "varnish", at(1, 9, 30), 25, 7, 12).recoat_closes = at(3, 9, 30);
  make.coat("Wipe on the third coat", "varnish", at(2, 9, 30), 25, 30, 70);
  return make.piece;
}

inline plan::Plan sample_plan() {
  plan::Plan plan;
  plan.job_file = "jobs/spring.toml";
  plan.shop = "Back Lane Workshop";
  plan.currency = "EUR";
  plan.start = at(0, 8);
  plan.finish = at(5, 10);
  plan.pieces = {sample_piece()};
  using catalog::Severity;
  plan.findings = {
      {"lead-unknown-age", Severity::caution, "The age of this piece is not known: old finish may hold lead.",
       "Test first; no dry sanding before the result is logged.", "16 CFR 1303", "P1", ""},
      {"rags-self-heating", Severity::caution, "Cloths wet with the wiping varnish can catch fire by themselves.",
       "Lay them flat outdoors or under water in a lidded can.", "common practice, no source", "", ""},
      {"old-wiring", Severity::caution, "There is a mains lead inside.",
       "Leave it unplugged; a qualified person looks at it.", "common practice, no source", "P1", ""},
      {"thin-veneer", Severity::caution, "The veneer of the top allows little sanding.",
       "Stop at the first lighter spot.", "common practice, no source", "P1", "top"},
  };
  materials::Purchase varnish;
  varnish.product = "varnish";
  varnish.name = "Satin wiping varnish";
  varnish.unit = "l";
  varnish.need = 0.31;
  varnish.from_shelf = 0.1;
  varnish.lines = {{0.25, 1, {1290}, {1290}}};
  varnish.total = {1290};
  varnish.left_over = 0.04;
  varnish.optimal = true;
  materials::Purchase odd;
  odd.product = "cleaner";
  odd.name = "Cleaner, \"mild\"";
  odd.unit = "l";
  odd.need = 0.2;
  odd.left_over = -0.2;
  odd.note = "no pack sold: what is missing has to come from elsewhere";
  plan.purchases = {varnish, odd};
  return plan;
}

// A piece with many steps, each wrapped in words: more than two pages would hold.
inline plan::PlannedPiece long_piece(int coats) {
  Maker make;
  make.piece = sample_piece();
  make.piece.id = "P2";
  make.piece.name =
      "Dresser with a name that goes on and on so that it has to be wrapped or cut somewhere, "
      "of walnut, seven drawers, brass pulls, from the far end of the attic";
  make.piece.schedule.clear();
  for (int i = 0; i < coats; ++i) {
    make.add(finish::StepKind::scuff, "Scuff P320, light hand, number " + std::to_string(i + 1), at(i, 9), 15).grit =
        320;
    auto& step = make.coat("Brush coat number " + std::to_string(i + 1) + " on the carcase and the drawers", "varnish",
                           at(i, 10), 45, 7, 20);
    step.notes.push_back("Bench note of its own, number " + std::to_string(i + 1) +
                         ": keep a wet edge, tip off with the grain, lay the doors flat and look along the light.");
  }
  make.piece.finish = at(coats, 12);
  return make.piece;
}

}  // namespace tackcloth::sheet
