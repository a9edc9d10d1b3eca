#include "plan/log_reading.h"

#include <algorithm>
#include <cctype>

#include "plan/step_mark.h"

namespace tackcloth::plan {

const std::vector<std::string>& log_words() {
  static const std::vector<std::string> words = {"started",         "done",          "tacky",         "soft",   "dry",
                                                 "sands_to_powder", "lead_negative", "lead_positive", "problem"};
  return words;
}

namespace {

std::string one_of(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i)
    text += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
  return text;
}

std::optional<film::Seen> look_of(const std::string& word) {
  return word == "sands_to_powder" ? film::Seen::sands_to_powder : film::seen_of(word);
}

// "chair" and "chair-07" are of the piece chair; "chair-b-07" is of another.
bool is_of(const std::string& step, const std::string& piece) {
  if (step.compare(0, piece.size(), piece) != 0) return false;
  if (step.size() == piece.size()) return true;
  return step[piece.size()] == '-' && step.size() > piece.size() + 1 &&
         std::all_of(step.begin() + static_cast<std::ptrdiff_t>(piece.size()) + 1, step.end(),
                     [](unsigned char c) { return std::isdigit(c) != 0; });
}

}  // namespace

LogReading read_lead(const std::vector<LogEntry>& log, const job::Job& job) {
  LogReading reading;
  for (const job::PieceOrder& order : job.pieces) {
    if (order.piece.lead_test_negative)
      (*order.piece.lead_test_negative ? reading.lead_negative : reading.lead_positive).insert(order.piece.id);
    for (const LogEntry& entry : log) {
      const auto mark = entry.mark.empty() ? std::nullopt : read_mark(entry.mark);
      if (mark ? mark->piece != order.piece.id : !is_of(entry.step, order.piece.id)) continue;
      if (entry.what == "lead_negative") reading.lead_negative.insert(order.piece.id);
      if (entry.what == "lead_positive") reading.lead_positive.insert(order.piece.id);
    }
    if (reading.lead_positive.contains(order.piece.id)) reading.lead_negative.erase(order.piece.id);
  }
  return reading;
}

std::optional<Problem> read_log(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, Instant start,
                                const job::Job& job, LogReading& reading) {
  const std::vector<std::string>& words = log_words();
  reading.seen.assign(tasks.size(), {});
  for (const LogEntry& entry : log) {
    if (std::find(words.begin(), words.end(), entry.what) == words.end())
      return Problem{
          "", 0, 0, "'" + entry.what + "' is not a word of the log", one_of(words), "say it with one of these"};
    const calendar::Tick at = std::max<calendar::Tick>(0, (entry.when - start).count());
    reading.now = std::max(reading.now, at);
    const auto mark = entry.mark.empty() ? std::nullopt : read_mark(entry.mark);
    auto task = tasks.end();
    if (!mark) {
      task = std::find_if(tasks.begin(), tasks.end(), [&](const Task& t) { return t.id == entry.step; });
    } else if (const auto found = find_marked(tasks, job, *mark)) {
      task = tasks.begin() + static_cast<std::ptrdiff_t>(*found);
    } else {
      const bool here = std::any_of(job.pieces.begin(), job.pieces.end(),
                                    [&](const job::PieceOrder& order) { return order.piece.id == mark->piece; });
      if (here && entry.what == "done")
        reading.findings.push_back(
            {"done-before-change", catalog::Severity::note,
             "Logged as done " + to_iso(entry.when) + ": " + mark->step +
                 (mark->product.empty() ? "" : " with " + mark->product) +
                 ". The piece was changed since and has no such step now.",
             "Look at the piece: what was done may have to come off, or may make a step needless.",
             "from the bench log", mark->piece, ""});
      continue;
    }
    if (task == tasks.end()) {
      if (entry.what.rfind("lead_", 0) == 0 || entry.what == "problem") continue;  // of a whole piece
      return Problem{"",
                     0,
                     0,
                     "there is no step '" + entry.step + "' in the plan",
                     "an id like chair-03",
                     "look the id up in the plan; it stands beside every step"};
    }
    Seen& seen = reading.seen[static_cast<std::size_t>(task - tasks.begin())];
    if (entry.what == "done" || entry.what.rfind("lead_", 0) == 0) {
      // Said twice, the first time counts.
      if (!seen.done) seen.done = at;
    } else if (const auto look = look_of(entry.what)) {
      seen.looks.push_back({at, *look});
      if (*look == film::Seen::tacky || *look == film::Seen::soft)
        seen.not_ready_at = std::max(seen.not_ready_at.value_or(0), at);
      else
        seen.not_ready_at.reset();
    }
  }
  return std::nullopt;
}

}  // namespace tackcloth::plan
