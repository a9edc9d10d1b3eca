// HTTP + JSON + server-sent events, and the built web page. Loopback by default.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "ledger/ledger.h"
#include "units/result.h"

namespace tackcloth::service {

struct Config {
  std::string address = "127.0.0.1";
  int port = 8420;                           // 0: any free port
  std::string web_root;                      // directory of the built page
  int read_timeout_ms = 15'000;              // for a whole request to arrive
  int heartbeat_ms = 15'000;                 // between signs of life on an event stream
  int watch_ms = 1'000;                      // between looks at what other programs added to the ledger
  // What would bring dates forward, as JSON; takes seconds, looks at `ending` meanwhile. Empty: not offered.
  std::function<Result<std::string>(ledger::Ledger&, const std::function<bool()>& ending)> sooner;
};

// Makes the plan anew from the stored job and log and stores it; returns the plan's JSON.
using Replan = std::function<Result<std::string>(ledger::Ledger&)>;
// The current minute as ISO 8601; passed in so that tests are repeatable.
using Clock = std::function<std::string()>;

class Server {
 public:
  static Result<std::unique_ptr<Server>> start(const Config& config, ledger::Ledger& ledger, Replan replan, Clock clock);
  virtual ~Server() = default;
  virtual int port() const = 0;
  virtual void run() = 0;                    // until stop()
  virtual void stop() = 0;                   // from any thread or a signal
};

}  // namespace tackcloth::service
