// The door to the local network: who may come in there, and what the desk is told of it.
#pragma once

#include <optional>
#include <string>

#include "ledger/ledger.h"
#include "service/http.h"
#include "service/pairing.h"
#include "service/service.h"

namespace tackcloth::service {

inline constexpr const char* kPair = "/api/pair";        // from the network: a code for a token
inline constexpr const char* kPairing = "/api/pairing";  // at the desk only: codes and telephones
inline constexpr const char* kCookie = "tackcloth_paired";

class Lan {
 public:
  // `address` is "" when there is no such door.
  Lan(const Config& config, ledger::Ledger& ledger, const Clock& clock);
  void open_on(std::string address, int port);
  bool is_open() const { return port_ != 0; }
  // "192.168.1.5:8420", or "[fe80::1]:8420": what a Host header there has to say.
  const std::string& host() const { return host_; }

  // A request that came through this door: nothing when it may go on, else the whole answer (files of the page, the
  // pairing itself, or a refusal).
  std::optional<Response> admit(const Request& request);
  // /api/pairing at the desk; nothing when the path is another.
  std::optional<Response> desk(const Request& request);
  // Grows when a telephone was forgotten: what is open then has to be closed.
  long long forgotten() const { return forgotten_; }
  Result<void> new_code();
  std::string code() const { return pairing_.code(config_.seconds()); }

 private:
  std::optional<ledger::StoredPhone> phone_of(const Request& request, std::optional<Problem>& trouble);
  Response pair(const Request& request);
  Response told();
  Response forget(const Request& request);

  const Config& config_;
  ledger::Ledger& ledger_;
  const Clock& clock_;
  Pairing pairing_;
  std::string host_;
  int port_ = 0;
  long long forgotten_ = 0;
};

}  // namespace tackcloth::service
