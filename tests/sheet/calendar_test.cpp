// Calendar files read back by libical, a library for RFC 5545 that is not ours.
#include <gtest/gtest.h>
#include <libical/ical.h>

#include <map>
#include <set>

#include "sample_plan.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {
namespace {

struct Event {
  std::string summary, description;
  icaltimetype start, end;
  bool opaque = true;
};

// By UID; fails the test when the file does not parse clean.
std::map<std::string, Event> read_back(const std::string& ics) {
  std::map<std::string, Event> events;
  icalcomponent* root = icalparser_parse_string(ics.c_str());
  if (!root) {
    ADD_FAILURE() << "libical cannot read it";
    return events;
  }
  EXPECT_NE(icalrestriction_check(root), 0);
  EXPECT_EQ(icalcomponent_count_errors(root), 0);
  for (auto* c = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT); c;
       c = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT)) {
    Event event;
    if (const char* summary = icalcomponent_get_summary(c)) event.summary = summary;
    if (const char* description = icalcomponent_get_description(c)) event.description = description;
    event.start = icalcomponent_get_dtstart(c);
    event.end = icalcomponent_get_dtend(c);
    EXPECT_EQ(icaltime_is_utc(icalcomponent_get_dtstamp(c)), 1);
    icalproperty* transparency = icalcomponent_get_first_property(c, ICAL_TRANSP_PROPERTY);
    event.opaque = transparency && icalproperty_get_transp(transparency) == ICAL_TRANSP_OPAQUE;
    EXPECT_TRUE(events.emplace(icalcomponent_get_uid(c), event).second) << "UID twice";
  }
  icalcomponent_free(root);
  return events;
}

TEST(Calendar, EveryHandsOnStepComesBack) {
  const plan::Plan plan = sample_plan();
  const auto events = read_back(calendar_ics(plan, at(-1, 20)));
  EXPECT_EQ(events.size(), plan.pieces[0].schedule.size() + 1);
  int found = 0;
  for (const plan::PlannedStep& step : plan.pieces[0].schedule)
    for (const auto& [uid, event] : events) {
      if (uid.rfind(step.id + "-", 0) != 0) continue;
      ++found;
      EXPECT_EQ(event.summary, "Hall table: " + step.text);
      EXPECT_EQ(event.start.is_date, 0);
      EXPECT_EQ(icaltime_is_utc(event.start), 0);
      EXPECT_EQ(event.start.zone, nullptr);  // floating
      EXPECT_EQ(std::string(icaltime_as_ical_string(event.start)).substr(9, 4),
                to_iso(step.start).substr(11, 2) + to_iso(step.start).substr(14, 2));
      EXPECT_EQ(icaldurationtype_as_int(icaltime_subtract(event.end, event.start)), step.minutes * 60);
      EXPECT_TRUE(event.opaque);
    }
  EXPECT_EQ(found, static_cast<int>(plan.pieces[0].schedule.size()));
}

TEST(Calendar, PromisedDateIsAWholeDayThatBlocksNothing) {
  for (const auto& [uid, event] : read_back(calendar_ics(sample_plan(), at(-1, 20)))) {
    if (uid.rfind("due-", 0) != 0) continue;
    EXPECT_EQ(event.start.is_date, 1);
    EXPECT_EQ(event.start.day, 11);
    EXPECT_FALSE(event.opaque);
    EXPECT_NE(event.summary.find("M. Example"), std::string::npos);
  }
}

TEST(Calendar, LinesAreFoldedAndEndInCrLf) {
  plan::Plan plan = sample_plan();
  plan.pieces[0].name =
      "Schränkchen mit übergroßen Türen, Löwenfüßen; Intarsien \\ und noch vielem mehr – 漆塗りの箪笥";
  const std::string ics = calendar_ics(plan, at(0, 0));
  std::size_t from = 0;
  while (from < ics.size()) {
    const std::size_t end = ics.find("\r\n", from);
    ASSERT_NE(end, std::string::npos);
    const std::string line = ics.substr(from, end - from);
    EXPECT_LE(line.size(), 75u);
    EXPECT_EQ(line.find_first_of("\r\n"), std::string::npos);
    ASSERT_FALSE(line.empty());
    EXPECT_NE(static_cast<unsigned char>(line[line[0] == ' ' ? 1 : 0]) & 0xC0, 0x80) << "a character was split";
    from = end + 2;
  }
  const auto events = read_back(ics);
  EXPECT_EQ(events.begin()->second.summary.rfind(plan.pieces[0].name, 0), 0u) << events.begin()->second.summary;
}

TEST(Calendar, TextsSurviveEscaping) {
  plan::Plan plan = sample_plan();
  plan.pieces[0].schedule.resize(1);
  plan.pieces[0].due.reset();
  plan.pieces[0].schedule[0].text = "Brush; wipe, roll \\ BEGIN:VEVENT\r\nEND:VCALENDAR \x01 \xff";
  const auto events = read_back(calendar_ics(plan, at(0, 0)));
  ASSERT_EQ(events.size(), 1u);
  EXPECT_EQ(events.begin()->second.summary,
            "Hall table: Brush; wipe, roll \\ BEGIN:VEVENT\nEND:VCALENDAR  \xEF\xBF\xBD");
}

TEST(Calendar, SameJobSameUids) {
  plan::Plan plan = sample_plan();
  const auto before = read_back(calendar_ics(plan, at(0, 0)));
  plan.job_file = "/elsewhere/spring.toml";
  for (plan::PlannedStep& step : plan.pieces[0].schedule) {
    step.start += std::chrono::hours(24);
    step.end += std::chrono::hours(24);
  }
  const auto after = read_back(calendar_ics(plan, at(1, 0)));
  plan.job_file = "autumn.toml";
  const auto other = read_back(calendar_ics(plan, at(1, 0)));
  ASSERT_EQ(before.size(), after.size());
  for (const auto& [uid, event] : before) {
    EXPECT_TRUE(after.contains(uid));
    EXPECT_FALSE(other.contains(uid));
  }
}

TEST(Calendar, LongWorkIsOneEventATurn) {
  plan::Plan plan = sample_plan();
  plan.pieces[0].due.reset();
  plan.pieces[0].schedule.resize(1);
  plan::PlannedStep& step = plan.pieces[0].schedule[0];
  step.end = at(1, 9);
  step.turns = {{at(0, 8), at(0, 17), {"Ada"}}, {at(1, 8), at(1, 9), {"Ada"}}};
  const auto events = read_back(calendar_ics(plan, at(0, 0)));
  ASSERT_EQ(events.size(), 2u);
  for (const auto& [uid, event] : events) EXPECT_EQ(event.start.hour, 8);
}

TEST(Calendar, AnEmptyPlanIsStillACalendar) { EXPECT_EQ(read_back(calendar_ics({}, at(0, 0))).size(), 1u); }

}  // namespace
}  // namespace tackcloth::sheet
