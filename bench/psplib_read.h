// Readers for the two text formats of PSPLIB (Kolisch & Sprecher 1997): single-mode .sm and RCPSP/max .sch.
#pragma once

#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "calendar/model.h"

namespace tackcloth::psplib {

// Single mode: a successor starts when the activity has ended. Nothing when the file is not of this form.
inline std::optional<calendar::Model> read_sm(const std::string& path) {
  std::ifstream file(path);
  if (!file) return std::nullopt;
  calendar::Model m;
  std::string line;
  enum { none, successors, requests, capacities } part = none;
  std::size_t resources = 0;
  while (std::getline(file, line)) {
    if (line.rfind("PRECEDENCE RELATIONS", 0) == 0) part = successors;
    if (line.rfind("REQUESTS/DURATIONS", 0) == 0) part = requests;
    if (line.rfind("RESOURCEAVAILABILITIES", 0) == 0) part = capacities;
    std::istringstream row(line);
    std::vector<int> v;
    for (int x = 0; row >> x;) v.push_back(x);
    if (v.empty()) continue;
    if (part == successors && v.size() >= 3) {
      for (std::size_t k = 3; k < v.size(); ++k) {
        calendar::Precedence p;
        p.from = v[0] - 1;
        p.to = v[k] - 1;
        m.precedences.push_back(p);
      }
    } else if (part == requests && v.size() >= 4) {
      calendar::Activity a;
      a.duration = v[2];
      resources = v.size() - 3;
      for (std::size_t k = 3; k < v.size(); ++k) {
        if (v[k] > 0) a.demands.push_back({static_cast<int>(k) - 3, v[k]});
      }
      m.activities.push_back(a);
    } else if (part == capacities) {
      for (const int c : v) m.resources.push_back({"R" + std::to_string(m.resources.size() + 1), c, {}});
    }
  }
  if (m.activities.empty() || m.resources.size() != resources) return std::nullopt;
  return m;
}

// RCPSP/max: start-to-start lags, negative ones are maximum lags the other way.
inline std::optional<calendar::Model> read_sch(const std::string& path) {
  std::ifstream file(path);
  if (!file) return std::nullopt;
  const auto numbers = [&file](std::vector<int>& out) {
    std::string line;
    out.clear();
    if (!std::getline(file, line)) return false;
    for (char& c : line) {
      if (c == '[' || c == ']') c = ' ';
    }
    std::istringstream row(line);
    for (int x = 0; row >> x;) out.push_back(x);
    return true;
  };
  std::vector<int> v;
  if (!numbers(v) || v.size() < 2) return std::nullopt;
  const auto n = static_cast<std::size_t>(v[0]) + 2, resources = static_cast<std::size_t>(v[1]);
  calendar::Model m;
  std::vector<std::vector<int>> rows(n);
  for (auto& row : rows) {
    if (!numbers(row) || row.size() < 3 || row.size() != 3 + 2 * static_cast<std::size_t>(row[2])) return std::nullopt;
  }
  for (std::size_t i = 0; i < n; ++i) {
    if (!numbers(v) || v.size() != 3 + resources) return std::nullopt;
    calendar::Activity a;
    a.duration = v[2];
    for (std::size_t k = 0; k < resources; ++k) {
      if (v[3 + k] > 0) a.demands.push_back({static_cast<int>(k), v[3 + k]});
    }
    m.activities.push_back(a);
  }
  if (!numbers(v) || v.size() != resources) return std::nullopt;
  for (const int c : v) m.resources.push_back({"R" + std::to_string(m.resources.size() + 1), c, {}});
  for (std::size_t i = 0; i < n; ++i) {
    const auto count = static_cast<std::size_t>(rows[i][2]);
    for (std::size_t k = 0; k < count; ++k) {
      calendar::Precedence p;
      p.from = static_cast<int>(i);
      p.to = rows[i][3 + k];
      p.min_lag.value = {rows[i][3 + count + k] - m.activities[i].duration};
      m.precedences.push_back(p);
    }
  }
  return m;
}

}  // namespace tackcloth::psplib
