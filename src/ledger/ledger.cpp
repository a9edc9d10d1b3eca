#include "ledger/ledger.h"

#include <algorithm>
#include <cctype>

#include "ledger/backends.h"
#include "ledger/migrations.h"

namespace tackcloth::ledger {
namespace {

Result<void> check_text(const std::string& text, const char* name, bool required) {
  if (required && text.empty()) {
    return tl::unexpected(Problem{
        .file = {}, .what = std::string("the ") + name + " is empty", .expected = "a text", .remedy = "give one"});
  }
  if (text.find('\0') != std::string::npos) {
    return tl::unexpected(Problem{.file = {},
                                  .what = std::string("the ") + name + " has a NUL character in it",
                                  .expected = "plain text",
                                  .remedy = "take it out"});
  }
  return {};
}

}  // namespace

Result<void> check(const StoredPlan& plan) {
  for (auto [text, name] : {std::pair{&plan.made_at, "time of the plan"}, std::pair{&plan.job_toml, "job"},
                            std::pair{&plan.plan_json, "plan"}, std::pair{&plan.options_json, "options"}}) {
    if (auto ok = check_text(*text, name, true); !ok) return ok;
  }
  return check_text(plan.job_name, "name of the job", false);
}

Result<void> check(const StoredChange& change) {
  for (auto [text, name] : {std::pair{&change.key, "key of the change"}, std::pair{&change.when, "time of the change"},
                            std::pair{&change.body, "change"}}) {
    if (auto ok = check_text(*text, name, true); !ok) return ok;
  }
  return {};
}

Result<void> check(const StoredEntry& entry) {
  for (auto [text, name] : {std::pair{&entry.key, "key of the entry"}, std::pair{&entry.when, "time of the entry"},
                            std::pair{&entry.step, "step of the entry"}, std::pair{&entry.what, "what of the entry"}}) {
    if (auto ok = check_text(*text, name, true); !ok) return ok;
  }
  if (entry.took_min < 0 || entry.took_min > kLongestStepMin) {
    return tl::unexpected(Problem{.file = {},
                                  .what = "the entry took " + std::to_string(entry.took_min) + " minutes",
                                  .expected = "0 (not told) to " + std::to_string(kLongestStepMin),
                                  .remedy = "check the figure"});
  }
  return check_text(entry.note, "note of the entry", false);
}

Result<void> check(const StoredPhoto& photo, long long offset, const std::string& bytes) {
  const auto wrong = [](std::string what, std::string expected, std::string remedy) {
    return tl::unexpected(
        Problem{.file = {}, .what = std::move(what), .expected = std::move(expected), .remedy = std::move(remedy)});
  };
  const bool plain =
      !photo.id.empty() && photo.id.size() <= 60 &&
      std::all_of(photo.id.begin(), photo.id.end(), [](unsigned char c) { return std::isalnum(c) != 0 || c == '-'; });
  if (!plain) return wrong("the photo's id cannot be taken", "letters, digits and '-', at most 60", "make another up");
  if (auto ok = check_text(photo.when, "time of the photo", true); !ok) return ok;
  if (photo.size <= 0 || photo.size > kLargestPhoto) {
    return wrong("the photo has " + std::to_string(photo.size) + " bytes", "1 to " + std::to_string(kLargestPhoto),
                 "take it again, smaller");
  }
  if (offset < 0 || offset > photo.size || static_cast<long long>(bytes.size()) > photo.size - offset) {
    return wrong("the bytes lie beyond the end of the photo", "at most " + std::to_string(photo.size) + " in all",
                 "ask how much is there, and send what is missing");
  }
  return {};
}

Result<void> check(const StoredPhone& phone) {
  for (auto [text, name] : {std::pair{&phone.name, "name of the telephone"}, std::pair{&phone.when, "time of pairing"}})
    if (auto ok = check_text(*text, name, true); !ok) return ok;
  const bool hash =
      phone.token_hash.size() == 64 && phone.token_hash.find_first_not_of("0123456789abcdef") == std::string::npos;
  if (hash) return {};
  return tl::unexpected(Problem{.file = {},
                                .what = "the telephone's token is not hashed",
                                .expected = "SHA-256 as 64 hexadecimal digits",
                                .remedy = "store the hash, never the token"});
}

Problem no_such_phone(long long id) {
  return {.file = {},
          .what = "there is no telephone " + std::to_string(id),
          .expected = "one of the list",
          .remedy = "read the list again"};
}

std::string_view new_bytes(const std::string& bytes, long long offset, long long have) {
  const long long end = offset + static_cast<long long>(bytes.size());
  if (offset > have || end <= have) return {};
  return std::string_view(bytes).substr(static_cast<std::size_t>(have - offset));
}

Problem photo_differs(const std::string& id) {
  return {.file = {},
          .what = "photo '" + id + "' was begun with another size",
          .expected = "the same photo",
          .remedy = "send this one under an id of its own"};
}

Problem photo_not_there(const std::string& id) {
  return {.file = {},
          .what = "photo '" + id + "' is not there, or not all of it",
          .expected = "a photo that was sent to its end",
          .remedy = "open the page it was taken on: it goes on by itself"};
}

Problem newer_schema(const std::string& where, int found) {
  return {.file = where,
          .what = "the data is of version " + std::to_string(found) + ", newer than this program knows",
          .expected = "version " + std::to_string(newest_version()) + " or older",
          .remedy = "use a newer tackcloth with it; nothing was changed"};
}

bool is_no_room(const Problem& problem) { return problem.expected == kRoom; }

Result<std::unique_ptr<Ledger>> open(const std::string& where) {
  if (where.starts_with("postgresql://") || where.starts_with("postgres://")) return open_postgres(where);
  return open_sqlite(where);
}

}  // namespace tackcloth::ledger
