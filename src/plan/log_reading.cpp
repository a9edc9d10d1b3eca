#include "plan/log_reading.h"

#include <algorithm>

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

}  // namespace

LogReading read_lead(const std::vector<LogEntry>& log, const job::Job& job) {
  LogReading reading;
  for (const job::PieceOrder& order : job.pieces) {
    if (order.piece.lead_test_negative)
      (*order.piece.lead_test_negative ? reading.lead_negative : reading.lead_positive).insert(order.piece.id);
    for (const LogEntry& entry : log) {
      if (entry.step != order.piece.id && entry.step.rfind(order.piece.id + "-", 0) != 0) continue;
      if (entry.what == "lead_negative") reading.lead_negative.insert(order.piece.id);
      if (entry.what == "lead_positive") reading.lead_positive.insert(order.piece.id);
    }
    if (reading.lead_positive.contains(order.piece.id)) reading.lead_negative.erase(order.piece.id);
  }
  return reading;
}

std::optional<Problem> read_log(const std::vector<LogEntry>& log, const std::vector<Task>& tasks, Instant start,
                                LogReading& reading) {
  const std::vector<std::string>& words = log_words();
  reading.seen.assign(tasks.size(), {});
  for (const LogEntry& entry : log) {
    if (std::find(words.begin(), words.end(), entry.what) == words.end())
      return Problem{
          "", 0, 0, "'" + entry.what + "' is not a word of the log", one_of(words), "say it with one of these"};
    const calendar::Tick at = std::max<calendar::Tick>(0, (entry.when - start).count());
    reading.now = std::max(reading.now, at);
    const auto task = std::find_if(tasks.begin(), tasks.end(), [&](const Task& t) { return t.id == entry.step; });
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
