#include "ledger/everything.h"

#include <archive.h>
#include <archive_entry.h>
#include <openssl/evp.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <functional>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>
#include <utility>

#include "ledger/migrations.h"

namespace tackcloth::ledger {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using nlohmann::ordered_json;

constexpr int kFormat = 1;
constexpr const char* kManifest = "manifest.json";
constexpr std::size_t kLargestManifest = 16u << 20, kLongestLine = 256u << 20;
constexpr long long kLargestInAll = 8LL << 30;  // unpacked; more than a shop's photos of years
constexpr const char* kPlans = "plans.jsonl";
constexpr const char* kEntries = "entries.jsonl";
constexpr const char* kChanges = "changes.jsonl";
constexpr const char* kPhotos = "photos.jsonl";

using Sink = std::function<Result<void>(std::string_view)>;
// Gives its bytes, the same ones every time it is asked.
using Source = std::function<Result<void>(const Sink&)>;

Problem problem(const std::string& file, std::string what, std::string expected, std::string remedy) {
  return {.file = file, .what = std::move(what), .expected = std::move(expected), .remedy = std::move(remedy)};
}
Problem damaged(const std::string& file, const std::string& how) {
  return problem(file, "the file is damaged: " + how, "a file as 'Save everything' wrote it",
                 "take another copy of it; nothing was brought back");
}

class Digest {
 public:
  Digest() { EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr); }
  void add(std::string_view bytes) { EVP_DigestUpdate(context_.get(), bytes.data(), bytes.size()); }
  std::string hex() {
    std::array<unsigned char, 32> out{};
    EVP_DigestFinal_ex(context_.get(), out.data(), nullptr);
    std::string text;
    for (const unsigned char c : out) {
      text += "0123456789abcdef"[c >> 4];
      text += "0123456789abcdef"[c & 15];
    }
    return text;
  }

 private:
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_{EVP_MD_CTX_new(), EVP_MD_CTX_free};
};

std::string line_of(const ordered_json& value) { return value.dump() + "\n"; }

struct Part {
  std::string name;
  Source source;
  long long bytes = 0;
  std::string sha256 = {};
};

// What is there now: later plans, entries and changes are left out, so that both readings give the same.
Result<std::vector<Part>> parts_of(Ledger& ledger) {
  const auto newest = ledger.latest_plan_id();
  if (!newest) return tl::unexpected(newest.error());
  auto entries = ledger.entries();
  if (!entries) return tl::unexpected(entries.error());
  auto changes = ledger.changes();
  if (!changes) return tl::unexpected(changes.error());
  auto photos = ledger.photos();
  if (!photos) return tl::unexpected(photos.error());
  // One that is still on its way is on the telephone that sends it.
  std::erase_if(*photos, [](const StoredPhoto& photo) { return photo.have != photo.size; });

  std::vector<Part> parts;
  parts.push_back({kPlans, [&ledger, last = *newest](const Sink& sink) -> Result<void> {
                     for (long long id = 0; id < last;) {
                       const auto plan = ledger.plan_after(id);
                       if (!plan) return tl::unexpected(plan.error());
                       if (!plan->has_value()) break;
                       const StoredPlan& p = **plan;
                       id = p.id;
                       if (id > last) break;
                       if (auto ok = sink(line_of({{"made_at", p.made_at},
                                                   {"job_name", p.job_name},
                                                   {"options", p.options_json},
                                                   {"job", p.job_toml},
                                                   {"plan", p.plan_json}}));
                           !ok)
                         return ok;
                     }
                     return {};
                   }});
  std::string text;
  for (const auto& e : *entries) {
    ordered_json line{{"key", e.key},   {"when", e.when}, {"step", e.step},
                      {"what", e.what}, {"note", e.note}, {"mark", e.mark}};
    if (e.took_min > 0) line["took_min"] = e.took_min;
    text += line_of(line);
  }
  parts.push_back({kEntries, [text](const Sink& sink) { return sink(text); }});
  text.clear();
  for (const auto& c : *changes) text += line_of({{"key", c.key}, {"when", c.when}, {"body", c.body}});
  parts.push_back({kChanges, [text](const Sink& sink) { return sink(text); }});
  text.clear();
  for (const auto& p : *photos) text += line_of({{"id", p.id}, {"when", p.when}, {"size", p.size}});
  parts.push_back({kPhotos, [text](const Sink& sink) { return sink(text); }});
  for (const auto& p : *photos) {
    parts.push_back({"photos/" + p.id, [&ledger, id = p.id](const Sink& sink) -> Result<void> {
                       const auto bytes = ledger.photo_bytes(id);
                       if (!bytes) return tl::unexpected(bytes.error());
                       return sink(*bytes);
                     }});
  }
  return parts;
}

using Writing = std::unique_ptr<archive, decltype(&archive_write_free)>;
using Reading = std::unique_ptr<archive, decltype(&archive_read_free)>;

Result<void> write_member(archive* out, const std::string& file, const Part& part) {
  const auto wrong = [&] {
    return tl::unexpected(problem(file, std::string("cannot be written: ") + archive_error_string(out),
                                  "a directory with room", "make room, or name another place"));
  };
  const std::unique_ptr<archive_entry, decltype(&archive_entry_free)> head(archive_entry_new(), archive_entry_free);
  archive_entry_set_pathname(head.get(), part.name.c_str());
  archive_entry_set_size(head.get(), part.bytes);
  archive_entry_set_filetype(head.get(), AE_IFREG);
  archive_entry_set_perm(head.get(), 0600);
  archive_entry_set_mtime(head.get(), 0, 0);  // the same store, the same bytes
  if (archive_write_header(out, head.get()) != ARCHIVE_OK) return wrong();
  return part.source([&](std::string_view bytes) -> Result<void> {
    if (archive_write_data(out, bytes.data(), bytes.size()) != static_cast<la_ssize_t>(bytes.size())) return wrong();
    return {};
  });
}

Result<void> write_to(Ledger& ledger, const std::string& file) {
  auto parts = parts_of(ledger);
  if (!parts) return tl::unexpected(parts.error());
  ordered_json members = ordered_json::array();
  for (Part& part : *parts) {
    Digest digest;
    if (auto ok = part.source([&](std::string_view bytes) -> Result<void> {
          digest.add(bytes);
          part.bytes += static_cast<long long>(bytes.size());
          return {};
        });
        !ok)
      return ok;
    part.sha256 = digest.hex();
    members.push_back(ordered_json{{"name", part.name}, {"bytes", part.bytes}, {"sha256", part.sha256}});
  }
  const std::string manifest = ordered_json{{"what", "everything of a Tackcloth store"},
                                            {"format", kFormat},
                                            {"schema_version", ledger.schema_version()},
                                            {"members", std::move(members)}}
                                   .dump(1) +
                               "\n";
  const Writing out(archive_write_new(), archive_write_free);
  archive_write_add_filter_gzip(out.get());
  archive_write_set_filter_option(out.get(), "gzip", "timestamp", nullptr);
  archive_write_set_format_pax_restricted(out.get());
  if (archive_write_open_filename(out.get(), file.c_str()) != ARCHIVE_OK) {
    return tl::unexpected(problem(file, std::string("cannot be written: ") + archive_error_string(out.get()),
                                  "a directory that exists", "name another place"));
  }
  const Part first{kManifest, [&](const Sink& sink) { return sink(manifest); },
                   static_cast<long long>(manifest.size())};
  if (auto ok = write_member(out.get(), file, first); !ok) return ok;
  for (const Part& part : *parts)
    if (auto ok = write_member(out.get(), file, part); !ok) return ok;
  if (archive_write_close(out.get()) != ARCHIVE_OK) {
    return tl::unexpected(problem(file, std::string("cannot be finished: ") + archive_error_string(out.get()),
                                  "room on that disk", "make room, or name another place"));
  }
  return {};
}

// The bytes of the member that was just opened, at most `most` of them.
Result<void> read_member(archive* in, const std::string& file, const std::string& name, long long most,
                         const Sink& sink) {
  std::array<char, 64 * 1024> block;
  for (long long have = 0;;) {
    const auto got = archive_read_data(in, block.data(), block.size());
    if (got < 0) return tl::unexpected(damaged(file, name + " cannot be read"));
    if (got == 0) return {};
    have += got;
    if (have > most) return tl::unexpected(damaged(file, name + " is longer than it is said to be"));
    if (auto ok = sink({block.data(), static_cast<std::size_t>(got)}); !ok) return ok;
  }
}

Result<void> open_next(archive* in, const std::string& file, const std::string& name) {
  archive_entry* head = nullptr;
  const int code = archive_read_next_header(in, &head);
  if (code == ARCHIVE_EOF) return tl::unexpected(damaged(file, "it ends before " + name));
  if (code != ARCHIVE_OK) return tl::unexpected(damaged(file, name + " cannot be found in it"));
  const char* found = archive_entry_pathname(head);
  if (found == nullptr || name != found || archive_entry_filetype(head) != AE_IFREG)
    return tl::unexpected(damaged(file, name + " is not where it should be"));
  return {};
}

struct Member {
  std::string name, sha256;
  long long bytes = 0;
};

Result<std::vector<Member>> manifest_of(archive* in, const std::string& file) {
  archive_entry* head = nullptr;
  const auto other = problem(file, "this is not a file with everything of a Tackcloth store",
                             "a file as 'Save everything' wrote it", "choose another");
  if (archive_read_next_header(in, &head) != ARCHIVE_OK || archive_entry_pathname(head) == nullptr ||
      std::string(kManifest) != archive_entry_pathname(head))
    return tl::unexpected(other);
  std::string text;
  if (auto ok = read_member(in, file, kManifest, kLargestManifest,
                            [&](std::string_view bytes) -> Result<void> {
                              text += bytes;
                              return {};
                            });
      !ok)
    return tl::unexpected(ok.error());
  const json read = json::parse(text, nullptr, false);
  if (!read.is_object() || !read.contains("format") || !read["format"].is_number_integer() ||
      !read.contains("schema_version") || !read["schema_version"].is_number_integer() || !read.contains("members") ||
      !read["members"].is_array())
    return tl::unexpected(other);
  if (read["format"].get<int>() > kFormat || read["schema_version"].get<int>() > newest_version()) {
    return tl::unexpected(problem(file, "the file was written by a newer Tackcloth",
                                  "version " + std::to_string(newest_version()) + " or older",
                                  "use a newer tackcloth; nothing was brought back"));
  }
  std::vector<Member> members;
  long long all = 0;
  for (const auto& one : read["members"]) {
    if (!one.is_object() || !one.contains("name") || !one["name"].is_string() || !one.contains("sha256") ||
        !one["sha256"].is_string() || !one.contains("bytes") || !one["bytes"].is_number_unsigned())
      return tl::unexpected(damaged(file, "its list of contents cannot be read"));
    const auto bytes = one["bytes"].get<unsigned long long>();
    if (bytes > static_cast<unsigned long long>(kLargestInAll - all)) {
      return tl::unexpected(problem(file, "what is in the file is too large", "at most 8 GiB unpacked",
                                    "check where the file comes from; nothing was brought back"));
    }
    all += static_cast<long long>(bytes);
    members.push_back(
        {one["name"].get<std::string>(), one["sha256"].get<std::string>(), static_cast<long long>(bytes)});
  }
  return members;
}

std::optional<std::string> text_in(const json& line, const char* name) {
  const auto found = line.find(name);
  if (found == line.end() || !found->is_string()) return {};
  return found->get<std::string>();
}

// Stores lines and photos as they come.
class Keeper {
 public:
  Keeper(Ledger& into, const std::string& file) : into_(into), file_(file) {}

  Result<void> keep(const std::string& name, std::string_view bytes) {
    rest_ += bytes;
    if (name.starts_with("photos/")) return {};  // as a whole, at its end
    std::size_t from = 0;
    for (std::size_t end; (end = rest_.find('\n', from)) != std::string::npos; from = end + 1)
      if (auto ok = keep_line(name, rest_.substr(from, end - from)); !ok) return ok;
    rest_.erase(0, from);
    if (rest_.size() > kLongestLine) return tl::unexpected(damaged(file_, "a line of " + name + " does not end"));
    return {};
  }
  Result<void> end(const std::string& name) {
    if (!name.starts_with("photos/"))
      return rest_.empty() ? Result<void>()
                           : tl::unexpected(damaged(file_, "the last line of " + name + " is cut off"));
    const std::string id = name.substr(7);
    const auto about = std::find_if(photos_.begin(), photos_.end(), [&](const auto& photo) { return photo.id == id; });
    if (about == photos_.end() || about->size != static_cast<long long>(rest_.size()))
      return tl::unexpected(damaged(file_, name + " is not the photo that was listed"));
    const auto have = into_.add_photo_bytes(*about, 0, rest_);
    if (!have) return tl::unexpected(have.error());
    rest_.clear();
    photos_.erase(about);
    return {};
  }
  Result<void> all_there() const {
    if (photos_.empty()) return {};
    return tl::unexpected(damaged(file_, "photo " + photos_.front().id + " is missing"));
  }

 private:
  Result<void> keep_line(const std::string& name, const std::string& text) {
    const json line = json::parse(text, nullptr, false);
    const auto odd = [&] { return tl::unexpected(damaged(file_, "a line of " + name + " cannot be read")); };
    if (!line.is_object()) return odd();
    std::vector<std::string> texts;
    for (const char* field : fields(name)) {
      auto value = text_in(line, field);
      if (!value) return odd();
      texts.push_back(std::move(*value));
    }
    Result<long long> stored = 0;
    if (name == kPlans)
      stored = into_.add_plan({0, texts[0], texts[1], texts[3], texts[4], texts[2]});
    else if (name == kEntries) {
      int took_min = 0;
      if (const auto told = line.find("took_min"); told != line.end()) {
        if (!told->is_number_integer() || *told < 1 || *told > kLongestStepMin) return odd();
        took_min = told->get<int>();
      }
      stored = into_.add_entry({0, texts[0], texts[1], texts[2], texts[3], texts[4], texts[5], took_min});
    } else if (name == kChanges)
      stored = into_.add_change({0, texts[0], texts[1], texts[2]});
    else if (!line.contains("size") || !line["size"].is_number_integer())
      return odd();
    else
      photos_.push_back({texts[0], texts[1], line["size"].get<long long>(), 0});
    if (!stored) return tl::unexpected(stored.error());
    return {};
  }
  static std::vector<const char*> fields(const std::string& name) {
    if (name == kPlans) return {"made_at", "job_name", "options", "job", "plan"};
    if (name == kEntries) return {"key", "when", "step", "what", "note", "mark"};
    if (name == kChanges) return {"key", "when", "body"};
    return {"id", "when"};
  }

  Ledger& into_;
  const std::string& file_;
  std::string rest_;
  std::vector<StoredPhoto> photos_;  // listed, not there yet
};

Result<void> read_into(archive* in, const std::string& file, Ledger& into) {
  const auto empty = is_empty(into);
  if (!empty) return tl::unexpected(empty.error());
  if (!*empty) {
    return tl::unexpected(not_empty());
  }
  const auto members = manifest_of(in, file);
  if (!members) return tl::unexpected(members.error());
  constexpr std::array kFirst = {kPlans, kEntries, kChanges, kPhotos};
  Keeper keeper(into, file);
  for (std::size_t i = 0; i < std::max(members->size(), kFirst.size()); ++i) {
    if (i >= members->size()) return tl::unexpected(damaged(file, "its list of contents is too short"));
    const Member& member = (*members)[i];
    const bool fits = i < kFirst.size() ? member.name == kFirst[i]
                                        : member.name.starts_with("photos/") && member.bytes <= kLargestPhoto;
    if (!fits) return tl::unexpected(damaged(file, "there is something in it that does not belong there"));
    if (auto ok = open_next(in, file, member.name); !ok) return ok;
    Digest digest;
    long long have = 0;
    if (auto ok = read_member(in, file, member.name, member.bytes,
                              [&](std::string_view bytes) {
                                digest.add(bytes);
                                have += static_cast<long long>(bytes.size());
                                return keeper.keep(member.name, bytes);
                              });
        !ok)
      return ok;
    if (have != member.bytes || digest.hex() != member.sha256)
      return tl::unexpected(damaged(file, member.name + " is not what was saved (SHA-256 differs)"));
    if (auto ok = keeper.end(member.name); !ok) return ok;
  }
  archive_entry* head = nullptr;
  if (archive_read_next_header(in, &head) != ARCHIVE_EOF)
    return tl::unexpected(damaged(file, "there is something behind its end"));
  return keeper.all_there();
}

}  // namespace

Result<bool> is_empty(Ledger& ledger) {
  const auto plan = ledger.latest_plan_id();
  if (!plan) return tl::unexpected(plan.error());
  const auto entries = ledger.entries();
  if (!entries) return tl::unexpected(entries.error());
  const auto changes = ledger.changes();
  if (!changes) return tl::unexpected(changes.error());
  const auto photos = ledger.photos();
  if (!photos) return tl::unexpected(photos.error());
  return *plan == 0 && entries->empty() && changes->empty() && photos->empty();
}

Problem not_empty() {
  return problem("", "there is something in this store already", "an empty one",
                 "start tackcloth with a new --data file and bring it back there; nothing was changed");
}

Result<void> write_everything(Ledger& ledger, const std::string& file) {
  std::error_code error;
  if (fs::exists(file, error)) {
    return tl::unexpected(
        problem(file, "there is a file of that name already", "a new name", "name another, or move it away"));
  }
  const std::string part = file + ".part";
  Result<void> done;
  try {
    done = write_to(ledger, part);
  } catch (const json::exception&) {
    done = tl::unexpected(problem(file, "a stored text is not UTF-8", "text", "tell us; the store itself is whole"));
  }
  if (done) fs::rename(part, file, error);
  if (done && error)
    done = tl::unexpected(problem(file, "cannot be named so: " + error.message(), "a new name", "name another"));
  if (!done) fs::remove(part, error);
  return done;
}

Result<void> read_everything(const std::string& file, Ledger& into) {
  const Reading in(archive_read_new(), archive_read_free);
  archive_read_support_filter_gzip(in.get());
  archive_read_support_format_tar(in.get());
  if (archive_read_open_filename(in.get(), file.c_str(), 64 * 1024) != ARCHIVE_OK) {
    std::error_code error;
    if (!fs::exists(file, error))
      return tl::unexpected(
          problem(file, "there is no such file", "a file as 'Save everything' wrote it", "check its name"));
    return tl::unexpected(
        problem(file, "this is not a file with everything of a Tackcloth store, or its beginning is damaged",
                "a file as 'Save everything' wrote it", "choose another"));
  }
  return into.at_once([&] { return read_into(in.get(), file, into); });
}

}  // namespace tackcloth::ledger
