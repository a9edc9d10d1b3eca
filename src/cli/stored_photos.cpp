#include "cli/stored_photos.h"

#include <unistd.h>

#include <cctype>
#include <fstream>

namespace tackcloth::cli {

namespace fs = std::filesystem;

StoredPhotos::StoredPhotos() {
  std::error_code error;
  std::string pattern = (fs::temp_directory_path(error) / "tackcloth-photos-XXXXXX").string();
  if (mkdtemp(pattern.data()) != nullptr) directory_ = pattern;
}

StoredPhotos::~StoredPhotos() {
  std::error_code ignored;
  if (!directory_.empty()) fs::remove_all(directory_, ignored);
}

Result<fs::path> StoredPhotos::file(ledger::Ledger& ledger, const std::string& id) const {
  const fs::path path = directory_ / id;
  std::error_code error;
  if (!id.empty() && id.find('/') == std::string::npos && fs::is_regular_file(path, error)) return path;
  const auto bytes = ledger.photo_bytes(id);
  if (!bytes) return tl::unexpected(bytes.error());
  // Beside and renamed: another thread never sees half of it.
  const fs::path half = path.string() + ".half-" + std::to_string(::gettid());
  std::ofstream out(half, std::ios::binary);
  out.write(bytes->data(), static_cast<std::streamsize>(bytes->size()));
  out.close();
  if (out) fs::rename(half, path, error);
  if (!out || error)
    return tl::unexpected(Problem{half.string(), 0, 0, "the photo cannot be written to the temporary directory",
                                  "room for it", "free some space"});
  return path;
}

std::string StoredPhotos::with_files(ledger::Ledger& ledger, std::string toml) const {
  constexpr std::string_view kStored = "stored:";
  for (std::size_t at = toml.find(kStored); at != std::string::npos; at = toml.find(kStored, at + 1)) {
    std::size_t end = at + kStored.size();
    while (end < toml.size() && (std::isalnum(static_cast<unsigned char>(toml[end])) != 0 || toml[end] == '-')) ++end;
    const auto path = file(ledger, toml.substr(at + kStored.size(), end - at - kStored.size()));
    if (path) toml.replace(at, end - at, path->string());
  }
  return toml;
}

}  // namespace tackcloth::cli
