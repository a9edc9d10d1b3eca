#include "plan/sooner.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/drying_places.h"

namespace tackcloth::plan {
namespace {

constexpr double kWarmTo_c = 20, kWarmer_k = 3, kWarmest_c = 26;
constexpr double kDraught_m_s = 0.4;  // a fan on low across the room (common practice, no source)
constexpr int kMoreMinutes = 120;
constexpr int kLatest = 22 * 60;  // nobody works later for this
constexpr double kWorthSaying_h = 1;
const char* const kDays[] = {"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"};

struct Change {
  Help help;
  job::Job job;
  finish::Prefer prefer;
};

std::string clock(int minutes) {
  char text[16];
  std::snprintf(text, sizeof text, "%02d:%02d", minutes / 60, minutes % 60);
  return text;
}
std::string span(const job::DayHours& hours) { return clock(hours.from_min) + " to " + clock(hours.to_min); }
std::string name_of(const job::Person& person) { return person.name.empty() ? person.id : person.name; }

class Changes {
 public:
  Changes(const job::Job& job, const World& world, const Options& options, const Plan& base)
      : job_(job), world_(world), options_(options), base_(base) {}

  std::vector<Change> all() {
    for (std::size_t r = 0; r < job_.shop.rooms.size(); ++r) places(r), warmth(r), draught(r);
    for (std::size_t p = 0; p < job_.shop.people.size(); ++p)
      for (int day = 0; day < 7; ++day) hours(p, day);
    helper(6, {9 * 60, 13 * 60});
    helper(busiest_weekday(), {18 * 60, 21 * 60});
    products();
    if (options_.prefer == finish::Prefer::cheapest) {
      Change& c = add("order", "The fastest coat order instead of the cheapest", "Compare the price.");
      c.prefer = finish::Prefer::fastest;
    }
    return std::move(changes_);
  }

 private:
  Change& add(const char* kind, std::string what, std::string heed) {
    Change c{{}, job_, options_.prefer};
    c.help.kind = kind;
    c.help.what = std::move(what);
    c.help.heed = std::move(heed);
    changes_.push_back(std::move(c));
    return changes_.back();
  }

  void places(std::size_t r) {
    add("resting_place", "One more resting place in '" + job_.shop.rooms[r].id + "'",
        "Stickers or a rack; nothing above that sheds dust.")
        .job.shop.rooms[r]
        .resting_places += 1;
  }

  void warmth(std::size_t r) {
    const job::Room& room = job_.shop.rooms[r];
    const char* const heed = "No flame and no glowing wire where solvents dry; let the piece warm up before the coat.";
    if (room.set_point) {
      const double to = std::min(room.set_point->temp_c + kWarmer_k, kWarmest_c);
      if (to < room.set_point->temp_c + 1) return;
      const double rh = room.set_point->rh * climate::saturation_pressure_pa(room.set_point->temp_c) /
                        climate::saturation_pressure_pa(to);  // the same water in the air
      Change& c = add("warmth",
                      "'" + room.id + "' kept at " + units::format_temperature(to, job_.shop.system) + " instead of " +
                          units::format_temperature(room.set_point->temp_c, job_.shop.system),
                      heed);
      c.job.shop.rooms[r].set_point->temp_c = to;
      c.job.shop.rooms[r].set_point->rh = rh;
    } else if (!room.follow.heated_to_c || *room.follow.heated_to_c < kWarmTo_c - 1) {
      Change& c =
          add("warmth",
              "'" + room.id + "' heated to at least " + units::format_temperature(kWarmTo_c, job_.shop.system), heed);
      c.job.shop.rooms[r].follow.heated_to_c = kWarmTo_c;
    }
  }

  void draught(std::size_t r) {
    const job::Room& room = job_.shop.rooms[r];
    const double now = room.set_point ? room.set_point->speed_m_s : room.follow.air_speed_m_s;
    if (now >= kDraught_m_s - 0.05) return;
    Change& c = add("moving_air", "A fan on low across the work in '" + room.id + "'",
                    "Only once the coat has set, so that no dust is blown into it; no sparking motor near solvents.");
    if (room.set_point)
      c.job.shop.rooms[r].set_point->speed_m_s = kDraught_m_s;
    else
      c.job.shop.rooms[r].follow.air_speed_m_s = kDraught_m_s;
  }

  void hours(std::size_t p, int day) {
    const job::Person& person = job_.shop.people[p];
    std::vector<job::DayHours> week = person.week[day];
    job::DayHours more{day == 0 || day == 6 ? 10 * 60 : 18 * 60, 0};
    if (!week.empty()) {
      const auto last =
          std::max_element(week.begin(), week.end(), [](const auto& a, const auto& b) { return a.to_min < b.to_min; });
      if (last->to_min + kMoreMinutes > kLatest) return;
      more.from_min = last->to_min;
      last->to_min += kMoreMinutes;
    }
    more.to_min = more.from_min + kMoreMinutes;
    if (person.week[day].empty()) week.push_back(more);
    add("hours", name_of(person) + " also on " + std::string(kDays[day]) + ", " + span(more), "")
        .job.shop.people[p]
        .week[day] = std::move(week);
  }

  void helper(int day, job::DayHours when) {
    job::Person person;
    person.id = "a helper";
    person.name = "A helper";
    person.week[day].push_back(when);
    add("helper", "A helper on " + std::string(kDays[day]) + ", " + span(when), "Pay is not in the price.")
        .job.shop.people.push_back(std::move(person));
  }

  // The weekday with most hands-on time in the plan.
  int busiest_weekday() const {
    std::map<unsigned, double> minutes;
    for (const PlannedPiece& piece : base_.pieces)
      for (const PlannedStep& step : piece.schedule)
        minutes[std::chrono::weekday(std::chrono::floor<std::chrono::days>(step.start)).c_encoding()] += step.minutes;
    unsigned best = 4;
    double most = 0;
    for (const auto& [day, sum] : minutes)
      if (day >= 1 && day <= 5 && sum > most) most = sum, best = day;
    return static_cast<int>(best);
  }

  void products() {
    for (std::size_t i = 0; i < job_.pieces.size(); ++i) {
      const piece::Piece& piece = job_.pieces[i].piece;
      std::map<std::string, std::vector<std::pair<std::size_t, std::size_t>>> asked;  // product -> zones
      for (std::size_t a = 0; a < piece.parts.size(); ++a)
        for (std::size_t z = 0; z < piece.parts[a].zones.size(); ++z)
          if (!piece.parts[a].zones[z].product.empty() && piece.parts[a].zones[z].wanted.empty())
            asked[piece.parts[a].zones[z].product].push_back({a, z});
      for (const auto& [id, zones] : asked) {
        const catalog::Product* product = world_.catalog->product(id);
        Change& c = add("product", piece.name + ": another product than " + (product ? product->name : id),
                        "The look changes: agree it with the owner on a sample board first.");
        for (const auto& [a, z] : zones) c.job.pieces[i].piece.parts[a].zones[z].product.clear();
      }
    }
  }

  const job::Job& job_;
  const World& world_;
  const Options& options_;
  const Plan& base_;
  std::vector<Change> changes_;
};

// The same job with every piece wanted at once.
job::Job hurried(job::Job job, Instant start) {
  for (job::PieceOrder& order : job.pieces)
    order.due = std::chrono::floor<std::chrono::days>(start) - std::chrono::days(1);
  return job;
}

// After the promises of the job as it is.
double late_hours(const Plan& plan, const job::Job& job) {
  double sum = 0;
  for (std::size_t p = 0; p < plan.pieces.size() && p < job.pieces.size(); ++p)
    if (job.pieces[p].due)
      sum += job.pieces[p].weight *
             std::max(0.0, hours_between(end_of_promise(*job.pieces[p].due), plan.pieces[p].finish));
  return sum;
}

int must_nots(const Plan& plan) {
  return static_cast<int>(std::count_if(plan.findings.begin(), plan.findings.end(), [](const catalog::Finding& f) {
    return f.severity == catalog::Severity::must_not;
  }));
}

// The film product that took the place of one that was asked for.
std::string new_products(const Plan& before, const Plan& after) {
  std::string names;
  for (std::size_t p = 0; p < after.pieces.size() && p < before.pieces.size(); ++p)
    for (const PlannedStep& step : after.pieces[p].schedule) {
      if (step.wet_um <= 0 || step.product.empty()) continue;
      const bool old = std::any_of(before.pieces[p].schedule.begin(), before.pieces[p].schedule.end(),
                                   [&](const PlannedStep& s) { return s.product == step.product; });
      if (!old && names.find(step.product_name) == std::string::npos)
        names += (names.empty() ? "" : ", ") + step.product_name;
    }
  return names;
}

}  // namespace

Results<Helps> what_would_help(const job::Job& job, const World& world, const Options& options, const Plan& base,
                               const std::function<bool(int, int)>& between) {
  Helps helps;
  std::vector<Change> changes = Changes(job, world, options, base).all();
  Options plain = options;
  plain.odds = false;
  const auto soonest = make_plan(hurried(job, base.start), world, plain);
  if (!soonest) return tl::unexpected(soonest.error());
  for (std::size_t p = 0; p < base.pieces.size(); ++p)
    helps.hurried.push_back({base.pieces[p].id, base.pieces[p].finish, soonest->pieces[p].finish});
  const double late = late_hours(*soonest, job);
  for (std::size_t i = 0; i < changes.size(); ++i) {
    if (between && !between(static_cast<int>(i), static_cast<int>(changes.size()))) break;
    Change& change = changes[i];
    Options with = plain;
    with.prefer = change.prefer;
    const auto plan = make_plan(hurried(change.job, base.start), world, with);
    ++helps.tried;
    if (!plan || must_nots(*plan) > must_nots(base)) continue;
    Help help = change.help;
    help.late_hours_less = late - late_hours(*plan, job);
    help.finish_hours_less = hours_between(plan->finish, soonest->finish);
    double gained = 0;
    for (std::size_t p = 0; p < base.pieces.size() && p < plan->pieces.size(); ++p) {
      const Instant before = soonest->pieces[p].finish;
      const double hours = hours_between(plan->pieces[p].finish, before);
      help.piece_hours_less += hours;
      gained = std::max(gained, hours);
      if (std::abs(hours) >= kWorthSaying_h) help.pieces.push_back({base.pieces[p].id, before, plan->pieces[p].finish});
    }
    if (help.late_hours_less < 0 || (gained < kWorthSaying_h && help.late_hours_less < kWorthSaying_h)) continue;
    if (help.late_hours_less == 0 && help.piece_hours_less < kWorthSaying_h) continue;
    if (help.kind == "product") {
      const std::string names = new_products(base, *plan);
      if (names.empty()) continue;
      help.what += ", such as " + names;
    }
    helps.best_first.push_back(std::move(help));
  }
  std::stable_sort(helps.best_first.begin(), helps.best_first.end(), [](const Help& a, const Help& b) {
    if (a.late_hours_less != b.late_hours_less) return a.late_hours_less > b.late_hours_less;
    return a.piece_hours_less > b.piece_hours_less;
  });
  return helps;
}

}  // namespace tackcloth::plan
