// Photos of the ledger as files, for the engines that read pictures from disk. A photo is named in the job as
// "stored:ID".
#pragma once

#include <filesystem>
#include <string>

#include "ledger/ledger.h"

namespace tackcloth::cli {

class StoredPhotos {
 public:
  StoredPhotos();   // a directory of its own, for this user only
  ~StoredPhotos();  // removes it
  StoredPhotos(const StoredPhotos&) = delete;
  StoredPhotos& operator=(const StoredPhotos&) = delete;

  // The file of a photo, written out the first time it is asked for.
  Result<std::filesystem::path> file(ledger::Ledger& ledger, const std::string& id) const;
  // The job's text with every "stored:ID" that is there replaced by its file.
  std::string with_files(ledger::Ledger& ledger, std::string toml) const;

 private:
  std::filesystem::path directory_;
};

}  // namespace tackcloth::cli
