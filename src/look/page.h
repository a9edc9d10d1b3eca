// What the page needs to show looks and to paint them by itself, as JSON, and the pictures that go with it.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "job/changes.h"
#include "look/view.h"

namespace tackcloth::look {

struct Page {
  std::string json;
  std::map<std::string, std::string>
      pictures;  // "3/cabinet/0.jpg", "3/cabinet/0-sunrise.png" (cover), ".grid" -> bytes
};

// `toml` is the job's text with its changes laid over it, `version` makes the picture's paths its own. Nothing is
// painted here: the photo, the cover of each zone and its split go to the page as they are (docs/picture.md has the
// formula).
Result<Page> page_of(const job::Job& job, std::string_view toml, const catalog::Catalog& catalog,
                     const color::Palette& palette, const std::vector<job::Change>& changes, long long version,
                     int longest);

}  // namespace tackcloth::look
