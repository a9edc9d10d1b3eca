// What is stored: jobs, plans and bench log entries, append-only, every write a transaction.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "units/result.h"

namespace tackcloth::ledger {

struct StoredPlan {
  long long id = 0;
  std::string made_at;  // ISO 8601
  std::string job_name;
  std::string job_toml;
  std::string plan_json;
  std::string options_json = "{}";  // what else the plan was asked with (weather file, start, seed, wish)
};

struct StoredEntry {
  long long id = 0;
  std::string key;  // chosen by the writer; the same key is stored once
  std::string when, step, what, note;
  std::string mark = {};  // what that step was (JSON), should ids change with the job; may be empty
  int took_min = 0;       // hands-on minutes of the whole step; 0: not told
};

// A change to the job (how a piece is to look, a piece, the shop), or the taking back of one. What is in it is the
// writer's business.
struct StoredChange {
  long long id = 0;
  std::string key;  // as for entries
  std::string when;
  std::string body;  // JSON
};

// A photo as it came from the camera. It is sent in pieces, so that one that was cut off goes on where it ended.
struct StoredPhoto {
  std::string id;  // chosen by the writer: letters, digits, '-', at most 60
  std::string when;
  long long size = 0, have = 0;  // bytes in all, and there so far
};

// A telephone that was let in from the local network. What it holds is a random token; only its hash is stored.
struct StoredPhone {
  long long id = 0;
  std::string token_hash;  // SHA-256, 64 hexadecimal digits
  std::string name, when;
  std::string forgotten = {};  // when it was forgotten; empty while it may come in
};

inline constexpr long long kLargestPhoto = 40'000'000;  // bytes
inline constexpr int kLongestStepMin = 30'000;           // 500 hours of hands-on time for one step

class Ledger {
 public:
  virtual ~Ledger() = default;
  virtual Result<long long> add_plan(const StoredPlan& plan) = 0;
  virtual Result<std::optional<StoredPlan>> latest_plan() = 0;
  virtual Result<std::vector<StoredPlan>> plans() = 0;
  // The first plan with an id above this one; nothing behind the last. For reading many, one at a time.
  virtual Result<std::optional<StoredPlan>> plan_after(long long id) = 0;
  // Id of the latest plan, 0 when there is none. Cheap: for watching what other programs add to the same store.
  virtual Result<long long> latest_plan_id() = 0;
  // Returns the id; an entry whose key is already there is not added again and its first id comes back.
  virtual Result<long long> add_entry(const StoredEntry& entry) = 0;
  virtual Result<std::vector<StoredEntry>> entries() = 0;
  // As with entries: the same key is stored once.
  virtual Result<long long> add_change(const StoredChange& change) = 0;
  virtual Result<std::vector<StoredChange>> changes() = 0;
  // Adds what goes on where the photo ends so far; what is there already is not stored again, and bytes that would
  // leave a gap are not taken. Returns how much is there. The size is fixed by the first call.
  virtual Result<long long> add_photo_bytes(const StoredPhoto& photo, long long offset, const std::string& bytes) = 0;
  virtual Result<std::vector<StoredPhoto>> photos() = 0;
  // The whole photo; a Problem when it is not there, or not all of it.
  virtual Result<std::string> photo_bytes(const std::string& id) = 0;
  virtual Result<long long> add_phone(const StoredPhone& phone) = 0;
  // Forgotten ones, too.
  virtual Result<std::vector<StoredPhone>> phones() = 0;
  // Forgetting one that is forgotten already changes nothing; one that never was is a Problem.
  virtual Result<void> forget_phone(long long id, const std::string& when) = 0;
  // What `work` adds is stored together, or, when it ends with a Problem, not at all. It must end at the first Problem.
  virtual Result<void> at_once(const std::function<Result<void>()>& work) = 0;
  virtual int schema_version() const = 0;
};

// Whether it was not stored because the disk is full. Nothing of it is there then, and it may be sent again.
bool is_no_room(const Problem& problem);

// A path opens SQLite (WAL, synchronous=FULL); "postgresql://..." opens PostgreSQL. Migrates from any older version; a
// newer schema than this program knows is a Problem, and the file is left alone. A Ledger may be used from several
// threads, and several programs may hold the same store open.
Result<std::unique_ptr<Ledger>> open(const std::string& where);

}  // namespace tackcloth::ledger
