// The answers of /api and /healthz. Knows the ledger, not the network.
#pragma once

#include <functional>

#include "ledger/ledger.h"
#include "service/http.h"
#include "service/service.h"

namespace tackcloth::service {

struct Api {
  ledger::Ledger& ledger;
  const Clock& clock;
  const Config& config;
  std::function<void()> ask_replan;  // called after an entry is stored; returns at once
};

// Everything but the event stream.
Response answer(const Api& api, const Request& request);

// 507 (RFC 4918, 11.5) when there is no room to store it, else 500.
int status_of(const Problem& problem);

// Texts of server-sent events (WHATWG HTML, "Server-sent events").
std::string plan_event(long long plan_id);
std::string trouble_event(const Problem& problem);

}  // namespace tackcloth::service
