// HTTP + JSON + server-sent events, and the built web page. On loopback, and, when told to, on one address of the local
// network, where a telephone has to be paired first.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "ledger/ledger.h"
#include "units/result.h"

namespace tackcloth::service {

using SlowAnswer =
    std::function<Result<std::string>(ledger::Ledger&, const std::string& about, const std::function<bool()>& ending)>;
struct Asset {
  std::string type, bytes;
  std::string file;  // as it is to be kept on disk; empty: it is shown
};
// Made while the asker waits: `about` is the path below /api/NAME/, `query` what stands behind the "?", as sent.
using MadeFile = std::function<Result<Asset>(ledger::Ledger&, const std::string& about, const std::string& query)>;

struct Config {
  std::string address = "127.0.0.1";
  int port = 8420;          // 0: any free port
  std::string lan_address;  // of this machine on its local network; empty: loopback only
  // For how long a pairing code is good: seconds of a clock that only goes forward. Empty: the system's.
  std::function<long long()> seconds;
  std::string web_root;          // directory of the built page
  int read_timeout_ms = 15'000;  // for a whole request to arrive
  int heartbeat_ms = 15'000;     // between signs of life on an event stream
  int watch_ms = 1'000;          // between looks at what other programs added to the ledger
  // Answers that take seconds, by name: GET /api/NAME or /api/NAME/ABOUT gives JSON, or 202 until it is worked out,
  // which event NAME tells. Kept until a plan or a change to the look is added. They look at `ending` meanwhile.
  std::map<std::string, SlowAnswer> slow;
  // Pictures that a slow answer speaks of, by path below /api/picture/: type and bytes, or nothing.
  std::function<std::optional<Asset>(const std::string& path)> picture;
  // Files behind plain links, by name: GET /api/NAME?QUERY, or /api/NAME/ABOUT?QUERY.
  std::map<std::string, MadeFile> made;
  // May this change to the look be stored? Empty: changes are not taken.
  std::function<Result<void>(ledger::Ledger&, const ledger::StoredChange&)> accepts;
  // The job as it stands, what the page offers to choose from, and the measure of one piece that is not stored: JSON.
  // Each must answer within a screen's frame or two; empty: not offered.
  std::function<Result<std::string>(ledger::Ledger&)> job;
  std::function<Result<std::string>(ledger::Ledger&)> apart;  // what is taken apart, and the way back
  std::function<Result<std::string>()> choices;
  std::function<Result<std::string>(ledger::Ledger&, const std::string& piece_json)> measure;
  // A change that is only to be tried: gives it a name, under which the slow answer `trial` is asked. Empty: not
  // offered.
  std::function<Result<std::string>(ledger::Ledger&, const std::string& body)> trial;
  // A step to be pinned to an hour, or let go: {step, start, seen?} as JSON gives the change to store, or says why not.
  // Empty: not offered.
  std::function<Result<std::string>(ledger::Ledger&, const std::string& asked)> pin;
  // The shelf as JSON; and what is told of it: {stock, lines, on?} gives the change to store, or says why not. Empty:
  // not offered.
  std::function<Result<std::string>(ledger::Ledger&)> stock;
  std::function<Result<std::string>(ledger::Ledger&, const std::string& asked)> stock_told;
  // What a step of a plan is, to be kept with an entry (ledger::StoredEntry::mark). Empty: nothing is kept.
  std::function<std::string(const std::string& plan_json, const std::string& step)> mark;
};

// Makes the plan anew from the stored job and log and stores it; returns the plan's JSON.
using Replan = std::function<Result<std::string>(ledger::Ledger&)>;
// The current minute as ISO 8601; passed in so that tests are repeatable.
using Clock = std::function<std::string()>;

class Server {
 public:
  static Result<std::unique_ptr<Server>> start(const Config& config, ledger::Ledger& ledger, Replan replan,
                                               Clock clock);
  virtual ~Server() = default;
  virtual int port() const = 0;
  // "http://192.168.1.5:8420/", or "" when it listens on loopback only; and the code that lets a telephone in there.
  virtual std::string lan_url() const = 0;
  virtual std::string pairing_code() const = 0;
  virtual void run() = 0;   // until stop()
  virtual void stop() = 0;  // from any thread or a signal
};

}  // namespace tackcloth::service
