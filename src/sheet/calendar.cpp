// Calendar file, RFC 5545, in floating local time.
#include <cstdint>
#include <cstdio>

#include "sheet/sheet.h"
#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

constexpr std::size_t kMostOctets = 75;  // section 3.1, without the line break

std::string date(Instant instant) {
  const std::chrono::year_month_day day(day_of(instant));
  char text[24];
  std::snprintf(text, sizeof text, "%04d%02u%02u", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                static_cast<unsigned>(day.day()));
  return text;
}

// Section 3.3.5, form 1: no zone, the clock on the wall of the shop.
std::string floating(Instant instant) {
  const std::string time = clock(instant);
  return date(instant) + "T" + time.substr(0, 2) + time.substr(3) + "00";
}

// Section 3.3.11.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : clean(text)) {
    if (c == '\n') {
      out += "\\n";
      continue;
    }
    if (c == '\\' || c == ';' || c == ',') out += '\\';
    out += c;
  }
  return out;
}

class Writer {
 public:
  // One content line, folded without splitting a UTF-8 sequence.
  void line(const std::string& content) {
    std::size_t used = 0;
    for (std::size_t i = 0; i < content.size();) {
      std::size_t length = 1;
      while (i + length < content.size() && (static_cast<unsigned char>(content[i + length]) & 0xC0) == 0x80) ++length;
      if (used + length > kMostOctets) {
        out_ += "\r\n ";
        used = 1;
      }
      out_.append(content, i, length);
      used += length;
      i += length;
    }
    out_ += "\r\n";
  }
  void text(const std::string& name, std::string_view value) { line(name + ":" + escaped(value)); }
  std::string take() { return std::move(out_); }

 private:
  std::string out_;
};

// FNV-1a, 64 bits: the same job gives the same UIDs on every machine, so that a calendar updates instead of doubling.
std::string job_mark(const plan::Plan& plan) {
  const std::string file = plan.job_file.substr(plan.job_file.find_last_of("/\\") + 1);
  std::uint64_t hash = 14695981039346656037ull;
  for (const char c : plan.shop + "\n" + file) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  char text[24];
  std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(hash));
  return text;
}

std::string uid(const std::string& id, const std::string& mark) { return id + "-" + mark + "@tackcloth"; }

std::string description(const plan::PlannedStep& step, units::System system, const Tongue& tongue) {
  std::string out = tongue.say(step.text);
  const auto add = [&](const std::string& more) { out += "\n" + more; };
  if (!step.product_name.empty())
    add(tongue.word(step.product_name) + (step.method.empty() ? "" : ", " + tongue.word(step.method)));
  if (step.wet_um > 0) add(tongue.fill("Wet film: {n}", {tongue.number(units::format_wet_film(step.wet_um, system))}));
  if (step.ready_p90 > step.end)
    add(tongue.fill("Ready: even chance {when}, safe {when2}",
                    {clock_on(step.ready_p50, step.start, tongue), clock_on(step.ready_p90, step.start, tongue)}));
  if (!step.ready_by_hand.empty()) add(tongue.fill("By hand: {how}", {tongue.say(step.ready_by_hand)}));
  if (!step.reason.empty()) add(tongue.fill("Why: {why}", {tongue.say(step.reason)}));
  if (step.pinned && step.pinned->kept) add(tongue.fill("Pinned to this hour."));
  for (const std::string& note : step.notes) add(tongue.fill("Note:") + " " + tongue.say(note));
  return out;
}

}  // namespace

std::string calendar_ics(const plan::Plan& plan, Instant made_at, const Tongue& tongue) {
  // DTSTAMP has to be in UTC (section 3.8.7.2). The shop's zone is not known; its wall clock is written as if it were.
  const std::string stamp = floating(made_at) + "Z";
  const std::string mark = job_mark(plan);
  Writer out;
  out.line("BEGIN:VCALENDAR");
  out.line("VERSION:2.0");
  out.line("PRODID:-//Tackcloth//Bench calendar//EN");
  out.line("CALSCALE:GREGORIAN");
  bool empty = true;
  const auto begin = [&](const std::string& id) {
    empty = false;
    out.line("BEGIN:VEVENT");
    out.text("UID", uid(id, mark));
    out.line("DTSTAMP:" + stamp);
  };
  const auto whole_day = [&](Instant instant) {
    out.line("DTSTART;VALUE=DATE:" + date(instant));
    out.line("TRANSP:TRANSPARENT");
  };
  for (const plan::PlannedPiece& piece : plan.pieces) {
    for (const plan::PlannedStep& step : piece.schedule) {
      if (step.minutes <= 0 || step.end <= step.start) continue;  // drying needs nobody
      std::vector<plan::Turn> turns = step.turns;
      if (turns.empty()) turns.push_back({step.start, step.end, step.who});
      for (std::size_t i = 0; i < turns.size(); ++i) {
        const bool several = turns.size() > 1;
        begin(several ? step.id + "-" + std::to_string(i + 1) : step.id);
        out.line("DTSTART:" + floating(turns[i].start));
        out.line("DTEND:" + floating(turns[i].end));
        out.text("SUMMARY",
                 piece.name + ": " + tongue.say(step.text) + (several && i > 0 ? " " + tongue.fill("(goes on)") : ""));
        out.text("DESCRIPTION", description(step, plan.system, tongue));
        if (!plan.shop.empty()) out.text("LOCATION", plan.shop + (piece.room.empty() ? "" : ", " + piece.room));
        out.line("TRANSP:OPAQUE");
        out.line("END:VEVENT");
      }
    }
    if (!piece.due) continue;
    begin("due-" + piece.id);
    whole_day(*piece.due);
    out.text("SUMMARY",
             tongue.fill("Promised: {piece}", {piece.name}) + (piece.owner.empty() ? "" : " (" + piece.owner + ")"));
    out.text("DESCRIPTION", piece.late ? tongue.fill("Late:") + " " + tongue.say(piece.late_reason)
                                       : tongue.fill("Ready to hand over {when}",
                                                     {short_day(piece.finish, tongue) + " " + clock(piece.finish)}));
    out.line("END:VEVENT");
  }
  if (empty) {  // a calendar holds at least one component (section 3.6)
    begin("empty");
    whole_day(plan.start);
    out.text("SUMMARY", tongue.fill("No work planned"));
    out.line("END:VEVENT");
  }
  out.line("END:VCALENDAR");
  return out.take();
}

}  // namespace tackcloth::sheet
