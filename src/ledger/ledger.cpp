#include "ledger/ledger.h"

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
  return check_text(entry.note, "note of the entry", false);
}

Problem newer_schema(const std::string& where, int found) {
  return {.file = where,
          .what = "the data is of version " + std::to_string(found) + ", newer than this program knows",
          .expected = "version " + std::to_string(newest_version()) + " or older",
          .remedy = "use a newer tackcloth with it; nothing was changed"};
}

Result<std::unique_ptr<Ledger>> open(const std::string& where) {
  if (where.starts_with("postgresql://") || where.starts_with("postgres://")) return open_postgres(where);
  return open_sqlite(where);
}

}  // namespace tackcloth::ledger
