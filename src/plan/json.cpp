// One list of fields serves writing and reading, so that the two cannot drift apart.
#include <nlohmann/json.hpp>

#include "plan/plan.h"

namespace tackcloth::plan {

namespace {

using Json = nlohmann::ordered_json;

Json put(const std::string& value) { return value; }
Json put(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
Json put(int value) { return value; }
Json put(bool value) { return value; }
Json put(Instant value) { return to_iso(value); }
Json put(Money value) { return to_text(value); }
Json put(catalog::Severity value) { return catalog::to_text(value); }
Json put(units::System value) { return value == units::System::us ? "us" : "metric"; }
Json put(const std::vector<std::string>& value) { return value; }
Json put(const Pinned& value) {
  return {{"start", to_iso(value.start)},
          {"kept", value.kept},
          {"why", value.why},
          {"next", value.next ? Json(to_iso(*value.next)) : Json(nullptr)}};
}
Json put(const Mixed& value) {
  return {{"batches", value.batches},
          {"each", value.each},
          {"within_min", value.within_min},
          {"temp_c", value.temp_c}};
}
template <class T>
Json put(const std::optional<T>& value) {
  return value ? put(*value) : Json(nullptr);
}

void get(const Json& j, std::string& value) { value = j.get<std::string>(); }
void get(const Json& j, double& value) { value = j.is_null() ? film::kNever : j.get<double>(); }
void get(const Json& j, int& value) { value = j.get<int>(); }
void get(const Json& j, bool& value) { value = j.get<bool>(); }
void get(const Json& j, Instant& value) {
  const auto instant = parse_instant(j.get<std::string>());
  if (!instant) throw std::invalid_argument(instant.error().what);
  value = *instant;
}
void get(const Json& j, Money& value) {
  const auto money = parse_money(j.get<std::string>());
  if (!money) throw std::invalid_argument(money.error().what);
  value = *money;
}
void get(const Json& j, catalog::Severity& value) {
  const auto text = j.get<std::string>();
  for (auto s : {catalog::Severity::note, catalog::Severity::caution, catalog::Severity::must_not})
    if (catalog::to_text(s) == text) {
      value = s;
      return;
    }
  throw std::invalid_argument("unknown severity " + text);
}
void get(const Json& j, units::System& value) {
  value = j.get<std::string>() == "us" ? units::System::us : units::System::metric;
}
void get(const Json& j, std::vector<std::string>& value) { value = j.get<std::vector<std::string>>(); }
void get(const Json& j, Pinned& value) {
  get(j.at("start"), value.start);
  get(j.at("kept"), value.kept);
  get(j.at("why"), value.why);
  value.next.reset();
  if (!j.at("next").is_null()) get(j.at("next"), value.next.emplace());
}
void get(const Json& j, Mixed& value) {
  get(j.at("batches"), value.batches);
  get(j.at("each"), value.each);
  get(j.at("within_min"), value.within_min);
  get(j.at("temp_c"), value.temp_c);
}
template <class T>
void get(const Json& j, std::optional<T>& value) {
  value.reset();
  if (j.is_null()) return;
  value.emplace();
  get(j, *value);
}

// A closed line: [x_mm, y_mm, bulge] for every edge, which starts where the one before (at first: the last) ends.
Json put(const std::vector<shape::Outline>& value) {
  Json lines = Json::array();
  for (const shape::Outline& outline : value) {
    Json line = Json::array();
    for (const shape::Edge& edge : outline.edges) line.push_back({edge.to.x, edge.to.y, edge.bulge});
    lines.push_back(std::move(line));
  }
  return lines;
}
void get(const Json& j, std::vector<shape::Outline>& value) {
  value.clear();
  for (const Json& line : j) {
    value.emplace_back();
    for (const Json& edge : line)
      value.back().edges.push_back({{edge.at(0).get<double>(), edge.at(1).get<double>()}, edge.at(2).get<double>()});
  }
}

struct Writer {
  Json& json;
  template <class T>
  void operator()(const char* name, const T& value) {
    json[name] = put(value);
  }
  template <class T>
  void object(const char* name, T& value);
  template <class T>
  void newer(const char* name, T& value) {
    object(name, value);
  }
  template <class T>
  void newer_value(const char* name, T& value) {
    (*this)(name, value);
  }
  template <class T>
  void newer_list(const char* name, std::vector<T>& values) {
    list(name, values);
  }
  template <class T>
  void unless_empty(const char* name, T& value) {
    if (value != T{}) (*this)(name, value);
  }
  void unless_empty(const char* name, std::vector<shape::Outline>& value) {
    if (!value.empty()) (*this)(name, value);
  }
  template <class T>
  void list(const char* name, std::vector<T>& values);
};

struct Reader {
  const Json& json;
  template <class T>
  void operator()(const char* name, T& value) {
    get(json.at(name), value);
  }
  template <class T>
  void object(const char* name, T& value);
  // Parts that plans stored by an earlier version do not have.
  template <class T>
  void newer_value(const char* name, T& value) {
    if (json.contains(name)) (*this)(name, value);
  }
  template <class T>
  void unless_empty(const char* name, T& value) {
    if (json.contains(name)) (*this)(name, value);
  }
  template <class T>
  void newer(const char* name, T& value) {
    if (json.contains(name)) object(name, value);
  }
  template <class T>
  void newer_list(const char* name, std::vector<T>& values) {
    if (json.contains(name)) list(name, values);
  }
  template <class T>
  void list(const char* name, std::vector<T>& values);
};

template <class A>
void fields(A& a, climate::Air& air) {
  a("temp_c", air.temp_c);
  a("rh", air.rh);
}

template <class A>
void fields(A& a, materials::Price& p) {
  a("materials", p.materials);
  a("labour", p.labour);
  a("overhead", p.overhead);
  a("profit", p.profit);
  a.newer_value("fees", p.fees);
  a("tax", p.tax);
  a("total", p.total);
  a("hours", p.hours);
}

template <class A>
void fields(A& a, catalog::Finding& f) {
  a("rule", f.rule);
  a("severity", f.severity);
  a("reason", f.reason);
  a("mend", f.mend);
  a("source", f.source);
  a("piece", f.piece);
  a("zone", f.zone);
}

template <class A>
void fields(A& a, air::Verdict& v) {
  a("peak_ppm", v.peak_ppm);
  a("peak_mg_m3", v.peak_mg_m3);
  a("twa_ppm", v.twa_ppm);
  a("stel_ppm", v.stel_ppm);
  a("worst_component", v.worst_component);
  a("mixture_share", v.mixture_share);
  a("lel_share", v.lel_share);
  a("reentry_h", v.reentry_h);
  a("fan_needed_m3_h", v.fan_needed_m3_h);
}

template <class A>
void fields(A& a, PlannedZone& z) {
  a("id", z.id);
  a("part", z.part);
  a("face", z.face);
  a("treatment", z.treatment);
  a("area_m2", z.area_m2);
  a("tape_mm", z.tape_mm);
  a.unless_empty("face_width_mm", z.face_width_mm);
  a.unless_empty("face_height_mm", z.face_height_mm);
  a.unless_empty("outlines", z.outlines);
}

template <class A>
void fields(A& a, Turn& t) {
  a("start", t.start);
  a("end", t.end);
  a("who", t.who);
}

template <class A>
void fields(A& a, WaitFor& w) {
  a("step", w.step);
  a("need", w.need);
}

template <class A>
void fields(A& a, StepUse& u) {
  a("product", u.product);
  a("amount", u.amount);
}

template <class A>
void fields(A& a, LeftOver& l) {
  a("product", l.product);
  a("name", l.name);
  a("unit", l.unit);
  a("amount", l.amount);
  a("in_price", l.in_price);
}

template <class A>
void fields(A& a, PlannedStep& s) {
  a("id", s.id);
  a("zones", s.zones);
  a("step", s.step);
  a("text", s.text);
  a("product", s.product);
  a("product_name", s.product_name);
  a("method", s.method);
  a("reason", s.reason);
  a("ready_by_hand", s.ready_by_hand);
  a("grit", s.grit);
  a("wet_um", s.wet_um);
  a("area_m2", s.area_m2);
  a("minutes", s.minutes);
  a.newer_value("task_kind", s.task_kind);
  a.newer_value("table_minutes", s.table_minutes);
  a.newer_value("took_minutes", s.took_minutes);
  a("people", s.people);
  a("who", s.who);
  a("start", s.start);
  a("end", s.end);
  a("ready_p50", s.ready_p50);
  a("ready_p90", s.ready_p90);
  a("recoat_closes", s.recoat_closes);
  a.list("turns", s.turns);
  a.list("waits_for", s.waits_for);
  a("room", s.room);
  a.object("air", s.air);
  a("notes", s.notes);
  a("why_here", s.why_here);
  a("done", s.done);
  a.newer_list("uses", s.uses);
  a.unless_empty("mix", s.mix);
  a.unless_empty("pinned", s.pinned);
}

template <class A>
void fields(A& a, PlannedPiece& p) {
  a("id", p.id);
  a("name", p.name);
  a("owner", p.owner);
  a("room", p.room);
  a.newer_value("resting_units", p.resting_units);
  a("due", p.due);
  a("finish", p.finish);
  a("late", p.late);
  a("late_reason", p.late_reason);
  a.newer_value("odds", p.odds);
  a.newer_value("finish_p50", p.finish_p50);
  a.newer_value("promise_90", p.promise_90);
  a("bench_hours", p.bench_hours);
  a.list("zones", p.zones);
  a.list("schedule", p.schedule);
  a.object("price", p.price);
  a.newer_list("left_over", p.left_over);
  a.object("air", p.air);
  a("care", p.care);
  a.newer_value("light_use", p.light_use);
  a.newer_value("full_use", p.full_use);
}

template <class A>
void fields(A& a, materials::Purchase::Line& l) {
  a("pack", l.pack);
  a("count", l.count);
  a("each", l.each);
  a("total", l.total);
}

template <class A>
void fields(A& a, materials::Purchase& p) {
  a("product", p.product);
  a("name", p.name);
  a("unit", p.unit);
  a.newer_value("expected", p.expected);
  a("need", p.need);
  a("from_shelf", p.from_shelf);
  a.list("lines", p.lines);
  a("total", p.total);
  a("left_over", p.left_over);
  a("optimal", p.optimal);
  a("note", p.note);
}

template <class A>
void fields(A& a, LearnedProduct& l) {
  a("product", l.product);
  a("product_name", l.product_name);
  a("entries", l.entries);
  a("prior_mean", l.prior_mean);
  a("prior_sigma", l.prior_sigma);
  a("posterior_mean", l.posterior_mean);
  a("posterior_sigma", l.posterior_sigma);
  a("recoat_p50_before_h", l.recoat_p50_before_h);
  a("recoat_p50_after_h", l.recoat_p50_after_h);
  a("recoat_p90_before_h", l.recoat_p90_before_h);
  a("recoat_p90_after_h", l.recoat_p90_after_h);
}

template <class A>
void fields(A& a, PromiseMoved& m) {
  a("piece", m.piece);
  a("finish_before", m.finish_before);
  a("finish_after", m.finish_after);
}

template <class A>
void fields(A& a, BenchLook& l) {
  a("step", l.step);
  a("product", l.product);
  a("applied", l.applied);
  a("wet_um", l.wet_um);
  a("temp_c", l.temp_c);
  a("rh", l.rh);
  a("air_m_s", l.air_m_s);
  a("hours", l.hours);
  a("seen", l.seen);
  a("ground", l.ground);
  a("lie", l.lie);
}

template <class A>
void fields(A& a, PaceLine& l) {
  a("kind", l.kind);
  a("step", l.step);
  a("table_min", l.table_min);
  a("took_min", l.took_min);
  a("when", l.when);
}

template <class A>
void fields(A& a, LearnedPace& p) {
  a("kind", p.kind);
  a("entries", p.entries);
  a("factor", p.factor);
  a("low", p.low);
  a("high", p.high);
  a("used", p.used);
}

template <class A>
void fields(A& a, OwnPace& p) {
  a("wanted", p.wanted);
  a.list("kinds", p.kinds);
  a.list("lines", p.lines);
  a("odd", p.odd);
}

template <class A>
void fields(A& a, Taught& t) {
  a("shop_prior_mean", t.shop_prior_mean);
  a("shop_prior_sigma", t.shop_prior_sigma);
  a("shop_posterior_mean", t.shop_posterior_mean);
  a("shop_posterior_sigma", t.shop_posterior_sigma);
  a.list("products", t.products);
  a.list("promises", t.promises);
  a.list("looks", t.looks);
  a("messages", t.messages);
  a.newer("pace", t.pace);
}

template <class A>
void fields(A& a, OpenHours& h) {
  a("start", h.start);
  a("end", h.end);
}

template <class A>
void fields(A& a, PlannedPerson& p) {
  a("id", p.id);
  a("name", p.name);
  a.list("hours", p.hours);
}

template <class A>
void fields(A& a, PlannedRoom& r) {
  a("id", r.id);
  a("resting_places", r.resting_places);
}

template <class A>
void fields(A& a, Plan& p) {
  a("job_file", p.job_file);
  a("shop", p.shop);
  a("units", p.system);
  a("currency", p.currency);
  a("start", p.start);
  a("finish", p.finish);
  a("lower_bound", p.lower_bound);
  a("gap_percent", p.gap_percent);
  a("proven", p.proven);
  a.newer_list("people", p.people);
  a.newer_list("rooms", p.rooms);
  a.list("pieces", p.pieces);
  a.list("findings", p.findings);
  a.list("purchases", p.purchases);
  a.object("cost", p.cost);
  a.newer("taught", p.taught);
}

template <class T>
void Writer::object(const char* name, T& value) {
  Writer inner{json[name] = Json::object()};
  fields(inner, value);
}
template <class T>
void Writer::list(const char* name, std::vector<T>& values) {
  Json array = Json::array();
  for (T& value : values) {
    Json item = Json::object();
    Writer inner{item};
    fields(inner, value);
    array.push_back(std::move(item));
  }
  json[name] = std::move(array);
}
template <class T>
void Reader::object(const char* name, T& value) {
  Reader inner{json.at(name)};
  fields(inner, value);
}
template <class T>
void Reader::list(const char* name, std::vector<T>& values) {
  values.clear();
  for (const Json& item : json.at(name)) {
    values.emplace_back();
    Reader inner{item};
    fields(inner, values.back());
  }
}

constexpr int kJsonSchema = 1;

}  // namespace

std::string to_json(const Plan& plan) {
  Json json = Json::object();
  json["schema"] = kJsonSchema;
  Writer writer{json};
  Plan copy = plan;  // the field list is shared with the reader and takes references
  fields(writer, copy);
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

Result<Plan> from_json(std::string_view text) {
  Plan plan;
  try {
    const Json json = Json::parse(text);
    if (json.at("schema").get<int>() != kJsonSchema)
      return tl::unexpected(Problem{"", 0, 0, "the stored plan has another schema", "schema 1", "plan the job again"});
    Reader reader{json};
    fields(reader, plan);
    for (PlannedPiece& piece : plan.pieces)
      for (PlannedStep& step : piece.schedule)
        for (int k = 0; k <= static_cast<int>(finish::StepKind::hand_over); ++k)
          if (finish::to_text(static_cast<finish::StepKind>(k)) == step.step)
            step.kind = static_cast<finish::StepKind>(k);
  } catch (const std::exception& error) {
    return tl::unexpected(Problem{"", 0, 0, std::string("not a plan: ") + error.what(),
                                  "the JSON of tackcloth plan --json", "plan the job again"});
  }
  return plan;
}

}  // namespace tackcloth::plan
