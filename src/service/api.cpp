#include "service/api.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <nlohmann/json.hpp>

#include "service/files.h"
#include "service/photo.h"
#include "units/time.h"

namespace tackcloth::service {
namespace {

using nlohmann::json;
using nlohmann::ordered_json;

constexpr std::size_t kLongestKey = 100, kLongestStep = 100, kLongestNote = 4000;
constexpr const char* kPictures = "/api/picture/";
constexpr Minutes kClockSlack{5};  // a telephone's clock may be a little ahead; the entry then counts as made now
constexpr std::array kWhat = {"started",         "done",          "tacky",         "soft",   "dry",
                              "sands_to_powder", "lead_negative", "lead_positive", "problem"};

std::string text_of(const ordered_json& value) {
  return value.dump(-1, ' ', false, json::error_handler_t::replace) + "\n";
}

Response plan(const Api& api, const Request& request) {
  auto stored = api.ledger.latest_plan();
  if (!stored) return refusal(500, stored.error());
  if (!stored->has_value()) {
    return refusal(404, problem_of("no plan yet", "a job to plan", "start with tackcloth serve --job JOB.toml"));
  }
  Response response;
  response.headers["ETag"] = "\"plan-" + std::to_string((*stored)->id) + "\"";
  response.headers["Cache-Control"] = "no-cache";
  response.headers["Tackcloth-Made-At"] = (*stored)->made_at;
  response.headers["Tackcloth-Now"] = api.clock();
  if (names_tag(request.header("if-none-match"), response.headers["ETag"])) {
    response.status = 304;
  } else {
    response.body = std::move((*stored)->plan_json);
  }
  return response;
}

Response log(const Api& api) {
  const auto entries = api.ledger.entries();
  if (!entries) return refusal(500, entries.error());
  ordered_json list = ordered_json::array();
  for (const auto& entry : *entries) {
    list.push_back(ordered_json{{"id", entry.id},
                                {"key", entry.key},
                                {"when", entry.when},
                                {"step", entry.step},
                                {"what", entry.what},
                                {"note", entry.note}});
    if (entry.took_min > 0) list.back()["took_min"] = entry.took_min;
  }
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = text_of({{"entries", std::move(list)}});
  return response;
}

Response health(const Api& api) {
  const auto newest = api.ledger.latest_plan_id();
  if (!newest) return refusal(503, newest.error());
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = text_of({{"status", "ok"}, {"now", api.clock()}, {"plan", *newest}});
  return response;
}

bool has_step(const std::string& plan_json, const std::string& step) {
  const json plan = json::parse(plan_json, nullptr, false);
  if (!plan.is_object()) return false;
  for (const auto& piece : plan.value("pieces", json::array())) {
    if (!piece.is_object()) continue;
    for (const auto& line : piece.value("schedule", json::array())) {
      if (line.is_object() && line.contains("id") && line["id"] == step) return true;
    }
  }
  return false;
}

Result<ledger::StoredEntry> entry_of(const json& body, const std::string& now) {
  const auto wrong = [](std::string what, std::string expected, std::string remedy) {
    return tl::unexpected(problem_of(std::move(what), std::move(expected), std::move(remedy)));
  };
  if (!body.is_object())
    return wrong("the body is not a JSON object", "{key, step, what, when?, note?, took_min?}", "send one");
  ledger::StoredEntry entry;
  entry.when = now;
  for (const auto& [name, value] : body.items()) {
    if (name == "took_min") {
      if (!value.is_number_integer() || value < 1 || value > ledger::kLongestStepMin)
        return wrong("'took_min' is not a time", "whole minutes, 1 to " + std::to_string(ledger::kLongestStepMin),
                     "leave it out when it is not known");
      entry.took_min = value.get<int>();
      continue;
    }
    std::string* place = name == "key"    ? &entry.key
                         : name == "step" ? &entry.step
                         : name == "what" ? &entry.what
                         : name == "when" ? &entry.when
                         : name == "note" ? &entry.note
                                          : nullptr;
    if (place == nullptr)
      return wrong("unknown field '" + name + "'", "key, step, what, when, note, took_min", "leave it out");
    if (!value.is_string()) return wrong("'" + name + "' is not a text", "a text", "put it in quotes");
    *place = value.get<std::string>();
    if (place->find('\0') != std::string::npos) {
      return wrong("'" + name + "' has a NUL character in it", "plain text", "take it out");
    }
  }
  if (entry.key.empty() || entry.key.size() > kLongestKey) {
    return wrong("'key' is missing or too long", "1 to 100 bytes, new for every entry",
                 "make one up, a UUID for instance");
  }
  if (entry.step.empty() || entry.step.size() > kLongestStep) {
    return wrong("'step' is missing or too long", "the id of a step of the plan, such as P1-03",
                 "take it from the plan");
  }
  if (std::find(kWhat.begin(), kWhat.end(), entry.what) == kWhat.end()) {
    return wrong("'what' is not known",
                 "started, done, tacky, soft, dry, sands_to_powder, lead_negative, lead_positive or problem",
                 "choose one of them");
  }
  if (entry.took_min > 0 && entry.what != "done" && entry.what.rfind("lead_", 0) != 0)
    return wrong("'took_min' is the time of the whole step", "with done, or with a lead test",
                 "send it when the step is done");
  if (entry.note.size() > kLongestNote) return wrong("'note' is too long", "at most 4000 bytes", "shorten it");
  const auto when = parse_instant(entry.when);
  if (!when) return tl::unexpected(problem_of(when.error().what, "local time such as 2026-03-04T17:30", "mend 'when'"));
  const auto here = parse_instant(now);
  if (here && *when > *here + kClockSlack) {
    return wrong("'when' is in the future", "a time not after " + now, "log what has happened, not what will");
  }
  entry.when = to_iso(here ? std::min(*when, *here) : *when);
  return entry;
}

Response add_entry(const Api& api, const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  if (body.is_discarded()) {
    return refusal(400,
                   problem_of("the body is not JSON", "a JSON object in UTF-8", "check quotes, commas and braces"));
  }
  auto entry = entry_of(body, api.clock());
  if (!entry) return refusal(422, entry.error());
  const auto known = api.ledger.entries();
  if (!known) return refusal(500, known.error());
  const bool again = std::any_of(known->begin(), known->end(), [&](const auto& old) { return old.key == entry->key; });
  if (!again) {
    const auto current = api.ledger.latest_plan();
    if (!current) return refusal(500, current.error());
    if (!current->has_value() || !has_step((*current)->plan_json, entry->step)) {
      return refusal(422, problem_of("the plan has no step '" + entry->step + "'", "a step of the latest plan",
                                     "reload the page and try again"));
    }
    if (api.config.mark) entry->mark = api.config.mark((*current)->plan_json, entry->step);
  }
  const auto id = api.ledger.add_entry(*entry);
  if (!id) return refusal(status_of(id.error()), id.error());
  api.ask_replan();  // also for a repeated key: the first time may have ended before the plan was made anew
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = text_of({{"id", *id}, {"key", entry->key}, {"when", entry->when}, {"new", !again}});
  return response;
}

Response changes(const Api& api) {
  const auto stored = api.ledger.changes();
  if (!stored) return refusal(500, stored.error());
  ordered_json list = ordered_json::array();
  for (const auto& change : *stored) {
    list.push_back(ordered_json{{"id", change.id},
                                {"key", change.key},
                                {"when", change.when},
                                {"change", ordered_json::parse(change.body, nullptr, false)}});
  }
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = text_of({{"changes", std::move(list)}});
  return response;
}

// The same key is stored once; `take` fills the body of a new one in, or says why it is not taken.
Response store_change(const Api& api, const std::string& key,
                      const std::function<Result<void>(ledger::StoredChange&)>& take) {
  ledger::StoredChange change{0, key, api.clock(), ""};
  if (change.key.empty() || change.key.size() > kLongestKey || change.key.find('\0') != std::string::npos) {
    return refusal(422, problem_of("'key' is missing or too long", "1 to 100 bytes, new for every change",
                                   "make one up, a UUID for instance"));
  }
  const auto known = api.ledger.changes();
  if (!known) return refusal(500, known.error());
  const auto old = std::find_if(known->begin(), known->end(), [&](const auto& one) { return one.key == change.key; });
  const bool again = old != known->end();
  if (again) {
    change.body = old->body;
  } else if (const auto taken = take(change); !taken) {
    return refusal(422, taken.error());
  }
  const auto id = api.ledger.add_change(change);
  if (!id) return refusal(status_of(id.error()), id.error());
  api.ask_replan();
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = text_of({{"id", *id}, {"key", change.key}, {"new", !again}});
  return response;
}

// {key, change}: what `change` may be is for Config::accepts to say.
Response add_change(const Api& api, const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  if (!body.is_object() || body.size() != 2 || !body.contains("key") || !body["key"].is_string() ||
      !body.contains("change") || !body["change"].is_object()) {
    return refusal(400, problem_of("the body is not {key, change}", "a JSON object with both", "send one"));
  }
  return store_change(api, body["key"].get<std::string>(), [&](ledger::StoredChange& change) -> Result<void> {
    change.body = text_of(body["change"]);
    return api.config.accepts(api.ledger, change);
  });
}

// {key, step, start, seen?}: the hour a step is pinned to, or null to let it go.
Response add_pin(const Api& api, const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  const auto is_hour = [&](const char* name) {
    return body[name].is_null() || (body[name].is_string() && parse_instant(body[name].get<std::string>()));
  };
  if (!body.is_object() || !body.contains("key") || !body["key"].is_string())
    return refusal(400, problem_of("the body is not {key, step, start}", "a JSON object", "send one"));
  for (const auto& [name, value] : body.items())
    if (name != "key" && name != "step" && name != "start" && name != "seen")
      return refusal(422, problem_of("unknown field '" + name + "'", "key, step, start, seen", "leave it out"));
  if (!body.contains("step") || !body["step"].is_string() || body["step"].get_ref<const std::string&>().empty() ||
      body["step"].get_ref<const std::string&>().size() > kLongestStep)
    return refusal(422, problem_of("'step' is missing or too long", "the id of a step of the plan, such as P1-03",
                                   "take it from the plan"));
  if (!body.contains("start") || !is_hour("start") || (body.contains("seen") && !is_hour("seen")))
    return refusal(422, problem_of("'start' is missing, or an hour cannot be read",
                                   "local time such as 2026-03-04T17:30, or null to let go", "mend it"));
  json asked = body;
  asked.erase("key");
  return store_change(api, body["key"].get<std::string>(), [&](ledger::StoredChange& change) -> Result<void> {
    auto made = api.config.pin(api.ledger, asked.dump(-1, ' ', false, json::error_handler_t::replace));
    if (!made) return tl::unexpected(made.error());
    change.body = *made + "\n";
    return {};
  });
}

// {key, stock, lines, on?}: what came to the shelf, was counted there, or is gone.
Response tell_stock(const Api& api, const Request& request) {
  const json body = json::parse(request.body, nullptr, false);
  if (!body.is_object() || !body.contains("key") || !body["key"].is_string())
    return refusal(400, problem_of("the body is not {key, stock, lines}", "a JSON object", "send one"));
  json asked = body;
  asked.erase("key");
  return store_change(api, body["key"].get<std::string>(), [&](ledger::StoredChange& change) -> Result<void> {
    auto made = api.config.stock_told(api.ledger, asked.dump(-1, ' ', false, json::error_handler_t::replace));
    if (!made) return tl::unexpected(made.error());
    change.body = *made + "\n";
    return {};
  });
}

Response picture(const Api& api, const std::string& path) {
  std::optional<Asset> asset;
  if (api.config.picture) asset = api.config.picture(path);
  if (!asset) {
    return refusal(404, problem_of("there is no such picture", "a picture of the latest look", "reload the page"));
  }
  Response response;
  response.content_type = asset->type;
  response.headers["Cache-Control"] = "no-cache";
  response.body = std::move(asset->bytes);
  return response;
}

// An answer that is made on the spot. What the sender got wrong is 422.
Response said(Result<std::string> text, int when_not) {
  if (!text) return refusal(when_not, text.error());
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = std::move(*text);
  return response;
}

// Nothing when the path is not that of a made file.
std::optional<Response> made_file(const Api& api, const std::string& path, const std::string& target) {
  if (!path.starts_with("/api/")) return {};
  const std::size_t slash = std::min(path.find('/', 5), path.size());
  const auto maker = api.config.made.find(path.substr(5, slash - 5));
  if (maker == api.config.made.end()) return {};
  const std::size_t question = target.find('?');
  const auto made = maker->second(api.ledger, path.substr(std::min(slash + 1, path.size())),
                                  question == std::string::npos ? "" : target.substr(question + 1));
  if (!made) return refusal(422, made.error());
  Response response;
  response.content_type = made->type;
  response.headers["Cache-Control"] = "no-store";
  if (!made->file.empty()) {
    std::string name;
    for (const char c : made->file)
      name += std::isalnum(static_cast<unsigned char>(c)) || c == '.' || c == '-' || c == '_' ? c : '-';
    response.headers["Content-Disposition"] = "attachment; filename=\"" + name + "\"";
  }
  response.body = made->bytes;
  return response;
}

Response wrong_method(const char* allowed) {
  Response response = refusal(405, problem_of("this address does not take that method", allowed, "use another"));
  response.headers["Allow"] = allowed;
  return response;
}

}  // namespace

Response answer(const Api& api, const Request& request) {
  const std::string path = path_of(request.target);
  const bool reads = request.method == "GET" || request.method == "HEAD";
  if (path == "/api/log") {
    if (request.method == "POST") return add_entry(api, request);
    return reads ? log(api) : wrong_method("GET, HEAD, POST");
  }
  if (path == "/api/look" && api.config.accepts) {
    if (request.method == "POST") return add_change(api, request);
    return reads ? changes(api) : wrong_method("GET, HEAD, POST");
  }
  if (path == "/api/job" && api.config.job) {
    if (request.method == "POST" && api.config.accepts) return add_change(api, request);
    return reads ? said(api.config.job(api.ledger), 500) : wrong_method("GET, HEAD, POST");
  }
  if (path == "/api/pin" && api.config.pin)
    return request.method == "POST" ? add_pin(api, request) : wrong_method("POST");
  if (path == "/api/stock" && api.config.stock) {
    if (request.method == "POST" && api.config.stock_told) return tell_stock(api, request);
    return reads ? said(api.config.stock(api.ledger), 500) : wrong_method("GET, HEAD, POST");
  }
  if (path == "/api/measure" && api.config.measure) {
    if (request.method != "POST") return wrong_method("POST");
    return said(api.config.measure(api.ledger, request.body), 422);
  }
  if (path == "/api/trial" && api.config.trial) {
    if (request.method != "POST") return wrong_method("POST");
    return said(api.config.trial(api.ledger, request.body), 422);
  }
  if (path.starts_with(kPhotos) && request.method == "POST")
    return add_photo(api, request, path.substr(std::string_view(kPhotos).size()));
  if (!reads) return wrong_method("GET, HEAD");
  if (path == "/api/photos") return photos(api);
  if (path == "/api/apart" && api.config.apart) return said(api.config.apart(api.ledger), 500);
  if (path == "/api/choices" && api.config.choices) return said(api.config.choices(), 500);
  if (path == "/api/plan") return plan(api, request);
  if (path == "/healthz") return health(api);
  if (path.starts_with(kPictures)) return picture(api, path.substr(std::string_view(kPictures).size()));
  if (auto made = made_file(api, path, request.target)) return *made;
  return serve_file(api.config.web_root, path, request);
}

int status_of(const Problem& problem) { return ledger::is_no_room(problem) ? 507 : 500; }

std::string plan_event(long long plan_id) {
  const std::string id = std::to_string(plan_id);
  return "id: " + id + "\nevent: plan\ndata: {\"id\":" + id + "}\n\n";
}

std::string trouble_event(const Problem& problem) {
  std::string body = refusal(500, problem).body;
  body.pop_back();  // the line end; JSON itself has none
  return "event: trouble\ndata: " + body + "\n\n";
}

}  // namespace tackcloth::service
