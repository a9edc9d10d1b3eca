#include "cli/plan_text.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <cmath>

namespace tackcloth::cli {

namespace {

const char* const kDays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};

std::string day_text(Instant when) {
  const auto day = std::chrono::floor<std::chrono::days>(when);
  return fmt::format("{} {}", kDays[std::chrono::weekday(day).c_encoding()], to_iso(when).substr(0, 10));
}
std::string clock_text(Instant when) { return to_iso(when).substr(11, 5); }

std::string step_line(const plan::PlannedStep& step, units::System system) {
  std::string line =
      fmt::format("    {}-{}  {:<10}  {}", clock_text(step.start), clock_text(step.end), step.id, step.text);
  if (!step.product_name.empty() && step.text.find(step.product_name) == std::string::npos)
    line += ": " + step.product_name;
  if (step.wet_um > 0 && !step.product.empty())
    line += fmt::format("{}, {} wet", step.text.find(step.method) == std::string::npos ? ", " + step.method : "",
                        units::format_wet_film(step.wet_um, system));
  if (step.people > 1) line += fmt::format(", {} people", step.people);
  if (step.pinned) line += step.pinned->kept ? ", pinned" : ", pinned to another hour (not kept)";
  line += "\n";
  if (step.ready_p90 > step.end + Minutes(20))
    line += fmt::format("                         ready {} {}, at the latest {} {}{}\n", day_text(step.ready_p50),
                        clock_text(step.ready_p50), day_text(step.ready_p90), clock_text(step.ready_p90),
                        step.ready_by_hand.empty() ? "" : "; by hand: " + step.ready_by_hand);
  return line;
}

}  // namespace

std::string findings_text(const plan::Plan& plan) {
  if (plan.findings.empty()) return "Nothing to say against this job.\n";
  std::string text;
  for (const catalog::Finding& finding : plan.findings) {
    const std::string where = finding.piece + (finding.zone.empty() ? "" : " " + finding.zone);
    text += fmt::format("{}: {}{}\n    {}\n    To mend: {}\n    Source: {}\n", catalog::to_text(finding.severity),
                        finding.rule, where.empty() ? "" : " (" + where + ")", finding.reason, finding.mend,
                        finding.source);
  }
  return text;
}

std::string taught_text(const plan::Plan& plan) {
  const plan::Taught& taught = plan.taught;
  const plan::OwnPace& pace = taught.pace;
  if (taught.products.empty() && taught.messages.empty() && pace.kinds.empty()) return "";
  std::string text = "WHAT THE BENCH TAUGHT\n";
  for (const plan::LearnedProduct& l : taught.products)
    text += fmt::format(
        "  {}: {} {}; dries in {:.2f} of the label's time (was taken as {:.2f}, give or take {:.0f} %; now {:.0f} %).\n"
        "    Ready for the next coat at label conditions: {} before, {} now; planned on {} before, {} now.\n",
        l.product_name, l.entries, l.entries == 1 ? "look" : "looks",
        std::exp(taught.shop_posterior_mean + l.posterior_mean), std::exp(taught.shop_prior_mean + l.prior_mean),
        100 * (std::exp(std::hypot(l.prior_sigma, taught.shop_prior_sigma)) - 1),
        100 * (std::exp(std::hypot(l.posterior_sigma, taught.shop_posterior_sigma)) - 1),
        units::format_hours(l.recoat_p50_before_h), units::format_hours(l.recoat_p50_after_h),
        units::format_hours(l.recoat_p90_before_h), units::format_hours(l.recoat_p90_after_h));
  for (const plan::PromiseMoved& moved : taught.promises) {
    const double hours = hours_between(moved.finish_before, moved.finish_after);
    if (std::abs(hours) < 1) continue;  // less is the solver, not the bench
    for (const plan::PlannedPiece& piece : plan.pieces)
      if (piece.id == moved.piece)
        text += fmt::format("  {}: finished {} {}, {} {} for what was learned.\n", piece.name,
                            day_text(moved.finish_after), clock_text(moved.finish_after),
                            units::format_hours(std::abs(hours)), hours > 0 ? "later" : "earlier");
  }
  for (const std::string& message : taught.messages) text += "  " + message + "\n";
  for (const plan::LearnedPace& learned : pace.kinds)
    text += fmt::format("  Your pace, {}: {}{}.\n", learned.kind, plan::pace_words(learned),
                        !pace.wanted     ? "; switched off, the table counts"
                        : !learned.used ? fmt::format("; used from {} steps on", plan::kPaceEnough)
                                         : "");
  for (const std::string& odd : pace.odd) text += "  " + odd + "\n";
  return text + "\n";
}

std::string plan_text_for_bench(const plan::Plan& plan) {
  std::string text = fmt::format("{}\nFrom {} to {}; no plan can end before {} (gap {:.1f} %{})\n\nCAUTIONS\n{}\n",
                                 plan.shop, day_text(plan.start), day_text(plan.finish), day_text(plan.lower_bound),
                                 plan.gap_percent, plan.proven ? ", proven best" : "", findings_text(plan));
  for (const plan::PlannedPiece& piece : plan.pieces) {
    text += fmt::format("{} for {}: ready {} {}", piece.name, piece.owner, day_text(piece.finish),
                        clock_text(piece.finish));
    if (piece.due) text += fmt::format(", promised {}", day_text(*piece.due));
    text +=
        fmt::format(", {:.1f} h at the bench, {} {}\n", piece.bench_hours, to_text(piece.price.total), plan.currency);
    if (piece.odds)
      text += fmt::format("  Drying alone: the date is kept {} times in 100. For nine in ten, promise {}.\n",
                          *piece.odds >= 0.995 ? "over 99" : fmt::format("{:.0f}", std::floor(*piece.odds * 100)),
                          day_text(*piece.promise_90));
    else if (piece.promise_90)
      text += fmt::format("  Safe to promise, nine times in ten: {}.\n", day_text(*piece.promise_90));
    if (piece.late) text += "  LATE: " + piece.late_reason + "\n";
    std::string day;
    for (const plan::PlannedStep& step : piece.schedule) {
      if (day_text(step.start) != day) {
        day = day_text(step.start);
        text += "  " + day + "\n";
      }
      text += step_line(step, plan.system);
    }
    text += "\n";
  }
  text += taught_text(plan);
  text += "TO BUY\n";
  for (const materials::Purchase& purchase : plan.purchases) {
    if (purchase.lines.empty() && purchase.note.empty()) continue;
    for (const auto& line : purchase.lines) {
      const std::string pack = purchase.unit == "l" ? units::format_volume(line.pack, plan.system)
                                                    : fmt::format("{:g} {}", line.pack, purchase.unit);
      text += fmt::format("  {} x {} {}: {}\n", line.count, pack, purchase.name, to_text(line.total));
    }
    if (!purchase.note.empty()) text += fmt::format("  {}: {}\n", purchase.name, purchase.note);
  }
  const materials::Price& c = plan.cost;
  text += fmt::format("\nPRICE {} {}: materials {}, labour {} ({:.1f} h), overhead {}, profit {}, tax {}\n",
                      to_text(c.total), plan.currency, to_text(c.materials), to_text(c.labour), c.hours,
                      to_text(c.overhead), to_text(c.profit), to_text(c.tax));
  text += "Tackcloth informs, it does not certify: local codes and licensed practice decide.\n";
  return text;
}

}  // namespace tackcloth::cli
