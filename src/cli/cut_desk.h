// Cutting layouts for the page: each is worked at on a thread of its own while somebody looks, and every better one
// shows at once.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "cli/stored_plan.h"
#include "service/service.h"

namespace tackcloth::cli {

class CutDesk {
 public:
  CutDesk();
  ~CutDesk();  // ends what is still being worked at
  CutDesk(const CutDesk&) = delete;
  CutDesk& operator=(const CutDesk&) = delete;

  // `about` empty: {"cuts": [{"id", "name", "stuff", "parts"}]}. An id: {"id", "name", "running", "seconds", "found",
  // "trouble", "layout"}; the first asking starts the search, `query` stop ends it and again starts it anew for
  // longer. "ID.pdf", ".svg", ".dxf", ".csv": the layout as it stands; `query` paper.
  Result<service::Asset> page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                              const Context& context);

 private:
  struct Search;
  std::mutex mutex_;
  std::map<std::string, std::unique_ptr<Search>> searches_;  // by id
};

}  // namespace tackcloth::cli
