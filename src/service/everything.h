// Everything as one file, at the desk: GET /api/everything gives it; POST /api/everything?size=BYTES&offset=BYTES takes
// it in pieces, as photos are sent, and brings it back when the last one is there.
#pragma once

#include <optional>
#include <string>

#include "ledger/ledger.h"
#include "service/http.h"
#include "service/service.h"

namespace tackcloth::service {

inline constexpr const char* kEverything = "/api/everything";

class Everything {
 public:
  Everything(ledger::Ledger& ledger, const Clock& clock) : ledger_(ledger), clock_(clock) {}
  ~Everything() { drop(); }
  Everything(const Everything&) = delete;
  Everything& operator=(const Everything&) = delete;

  // Nothing when the path is another. `brought_back` is set when the store was filled.
  std::optional<Response> desk(const Request& request, bool& brought_back);

 private:
  Response save();
  Response take(const Request& request, bool& brought_back);
  void drop();

  ledger::Ledger& ledger_;
  const Clock& clock_;
  std::string directory_;  // of what is on its way; only this user may look into it
  long long have_ = 0;
};

}  // namespace tackcloth::service
