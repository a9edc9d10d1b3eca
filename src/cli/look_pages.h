// The look of the stored job for the page: JSON and the pictures it speaks of.
#pragma once

#include <deque>
#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "cli/stored_photos.h"
#include "cli/stored_plan.h"
#include "look/page.h"
#include "service/service.h"
#include "sheet/boards.h"

namespace tackcloth::cli {

// Photos at the size a screen needs, covers and splits of their zones, the changes so far.
Results<look::Page> looks_page(ledger::Ledger& ledger, const StoredPhotos& photos, const Context& context);
// Looks of one piece side by side: numbers and one picture each.
Results<look::Page> boards_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& piece,
                                const Context& context, const std::function<bool(int, int)>& between);

// One stored photo, upright and at screen size: {id, width, height, picture, notes}, in pixels of the whole photo.
Result<look::Page> photo_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& id);

Result<std::string> boards_sheet_of(const Compared& compared, const std::string& piece, sheet::Paper paper,
                                    sheet::Sheet wanted, Instant made_at, const sheet::Tongue& tongue = {});

// Pictures handed out by path; the oldest sets go when there are too many. Used from several threads.
class Album {
 public:
  void put(std::map<std::string, std::string> pictures);
  std::optional<service::Asset> find(const std::string& path) const;

 private:
  mutable std::mutex mutex_;
  std::deque<std::map<std::string, std::string>> sets_;
};

}  // namespace tackcloth::cli
