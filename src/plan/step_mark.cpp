#include "plan/step_mark.h"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace tackcloth::plan {

namespace {

using nlohmann::json;
using nlohmann::ordered_json;

std::vector<std::string> split(const std::string& list) {
  std::vector<std::string> names;
  std::string name;
  for (const char c : list + ",") {
    if (c == ',') {
      if (!name.empty()) names.push_back(name);
      name.clear();
    } else if (c != ' ') {
      name += c;
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

bool alike(const json& a, const json& b) {
  return a.value("step", "") == b.value("step", "") && a.value("product", "") == b.value("product", "") &&
         a.value("grit", 0) == b.value("grit", 0) && a.value("zones", "") == b.value("zones", "");
}

// Shared by all of the two (Jaccard, 1901): 1 the same, 0 nothing in common. Two empty lists are the same.
double overlap(const std::vector<std::string>& a, std::vector<std::string> b) {
  std::sort(b.begin(), b.end());
  std::vector<std::string> both;
  std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  const std::size_t all = a.size() + b.size() - both.size();
  return all == 0 ? 1.0 : double(both.size()) / double(all);
}

}  // namespace

std::string mark_of(std::string_view plan_json, const std::string& step_id) {
  const json plan = json::parse(plan_json, nullptr, false);
  if (!plan.is_object() || !plan.contains("pieces") || !plan["pieces"].is_array()) return "";
  for (const json& piece : plan["pieces"]) {
    if (!piece.is_object() || !piece.contains("schedule") || !piece["schedule"].is_array()) continue;
    const json& schedule = piece["schedule"];
    for (const json& step : schedule) {
      if (!step.is_object() || step.value("id", "") != step_id) continue;
      int nth = 0;
      for (const json& before : schedule) {
        if (before.value("id", "") == step_id) break;
        nth += alike(before, step) ? 1 : 0;
      }
      ordered_json mark{{"piece", piece.value("id", "")},       {"step", step.value("step", "")},
                        {"product", step.value("product", "")}, {"grit", step.value("grit", 0)},
                        {"zones", step.value("zones", "")},     {"nth", nth}};
      for (const char* name : {"task_kind", "minutes", "table_minutes"})
        if (step.contains(name) && !step[name].is_null()) mark[name] = step[name];
      if (step.contains("uses")) mark["uses"] = step["uses"];
      return mark.dump();
    }
  }
  return "";
}

std::optional<StepMark> read_mark(std::string_view text) {
  const json read = json::parse(text, nullptr, false);
  if (!read.is_object() || !read.contains("piece") || !read.contains("step")) return {};
  try {
    StepMark mark;
    mark.piece = read.at("piece").get<std::string>();
    mark.step = read.at("step").get<std::string>();
    mark.product = read.value("product", "");
    mark.grit = read.value("grit", 0);
    mark.zones = split(read.value("zones", ""));
    mark.nth = read.value("nth", 0);
    mark.kind = read.value("task_kind", "");
    mark.minutes = read.value("minutes", 0.0);
    mark.table_minutes = read.value("table_minutes", 0.0);
    mark.uses_told = read.contains("uses");
    if (mark.uses_told)
      for (const json& use : read.at("uses"))
        mark.uses.push_back({use.at("product").get<std::string>(), use.at("amount").get<double>()});
    return mark;
  } catch (const json::exception&) {
    return {};
  }
}

std::optional<std::size_t> find_marked(const std::vector<Task>& tasks, const job::Job& job, const StepMark& mark) {
  std::vector<std::pair<std::size_t, double>> like;
  double best = 0.5;  // below half it is another step
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const Task& task = tasks[t];
    if (job.pieces[static_cast<std::size_t>(task.piece)].piece.id != mark.piece) continue;
    if (finish::to_text(task.step.kind) != mark.step || task.step.product != mark.product ||
        task.step.grit != mark.grit)
      continue;
    const double share = overlap(mark.zones, task.zones);
    best = std::max(best, share);
    like.emplace_back(t, share);
  }
  std::erase_if(like, [&](const auto& one) { return one.second < best; });
  if (like.empty()) return {};
  // Where one of several alike is gone, the last one stands for those after it.
  return like[std::min(static_cast<std::size_t>(std::max(mark.nth, 0)), like.size() - 1)].first;
}

}  // namespace tackcloth::plan
