// SQLite: WAL with synchronous=FULL, so that a commit is on the disk before it is acknowledged
// (sqlite.org/pragma.html#pragma_synchronous).
#include <sqlite3.h>

#include <filesystem>
#include <fstream>
#include <mutex>
#include <vector>

#include "ledger/backends.h"
#include "ledger/migrations.h"

namespace tackcloth::ledger {
namespace {

constexpr int kBusyMs = 5000;  // how long to wait for another program's write

struct CloseDb {
  void operator()(sqlite3* db) const { sqlite3_close_v2(db); }
};
using Db = std::unique_ptr<sqlite3, CloseDb>;

Problem trouble(const std::string& path, sqlite3* db, const std::string& doing) {
  const int code = db != nullptr ? sqlite3_errcode(db) & 0xff : SQLITE_NOMEM;
  Problem problem;
  problem.file = path;
  problem.what = doing + ": " + (db != nullptr ? sqlite3_errmsg(db) : "out of memory");
  switch (code) {
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      problem.expected = "an undamaged Tackcloth data file";
      problem.remedy = "put back a copy of the file from before the damage, or start a new one under another name";
      break;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      problem.expected = "no other program writing to the file for so long";
      problem.remedy = "close the other program and try again";
      break;
    case SQLITE_FULL:
      problem.expected = kRoom;
      problem.remedy = "free some space and try again";
      break;
    default:
      problem.expected = "a file that can be read and written, in a directory that exists";
      problem.remedy = "check the path, the directory and who may write there";
  }
  return problem;
}

// A prepared statement; texts are bound, never pasted in.
class Query {
 public:
  Query(sqlite3* db, const char* sql) : ok_(sqlite3_prepare_v2(db, sql, -1, &statement_, nullptr) == SQLITE_OK) {}
  ~Query() { sqlite3_finalize(statement_); }
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  Query& bind(const std::string& text) {
    ok_ = ok_ && sqlite3_bind_text64(statement_, ++bound_, text.data(), text.size(), SQLITE_TRANSIENT, SQLITE_UTF8) ==
                     SQLITE_OK;
    return *this;
  }
  Query& bind(long long number) {
    ok_ = ok_ && sqlite3_bind_int64(statement_, ++bound_, number) == SQLITE_OK;
    return *this;
  }
  Query& bind_bytes(std::string_view bytes) {
    ok_ = ok_ && sqlite3_bind_blob64(statement_, ++bound_, bytes.data(), bytes.size(), SQLITE_TRANSIENT) == SQLITE_OK;
    return *this;
  }
  // SQLITE_ROW, SQLITE_DONE or an error.
  int step() { return ok_ ? sqlite3_step(statement_) : SQLITE_ERROR; }
  long long number(int column) const { return sqlite3_column_int64(statement_, column); }
  // Texts are stored as UTF-8, so their bytes are what they are; blobs likewise.
  std::string text(int column) const {
    const auto* data = static_cast<const char*>(sqlite3_column_blob(statement_, column));
    return data == nullptr ? std::string()
                           : std::string(data, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column)));
  }

 private:
  sqlite3_stmt* statement_ = nullptr;
  bool ok_;
  int bound_ = 0;
};

bool run(sqlite3* db, const char* sql) { return sqlite3_exec(db, sql, nullptr, nullptr, nullptr) == SQLITE_OK; }

// Rolls back unless committed.
class Transaction {
 public:
  // Inside another one (at_once) it is a savepoint of that.
  explicit Transaction(sqlite3* db)
      : db_(db),
        inner_(sqlite3_get_autocommit(db) == 0),
        open_(run(db, inner_ ? "SAVEPOINT part" : "BEGIN IMMEDIATE")) {}
  ~Transaction() {
    if (open_) run(db_, inner_ ? "ROLLBACK TO part; RELEASE part" : "ROLLBACK");
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  bool begun() const { return open_; }
  bool commit() {
    if (!run(db_, inner_ ? "RELEASE part" : "COMMIT")) return false;
    open_ = false;
    return true;
  }

 private:
  sqlite3* db_;
  bool inner_, open_;
};

Result<Db> connect(const std::string& path, int flags) {
  sqlite3* raw = nullptr;
  const int code = sqlite3_open_v2(path.c_str(), &raw, flags | SQLITE_OPEN_FULLMUTEX, nullptr);
  Db db(raw);
  if (code != SQLITE_OK) return tl::unexpected(trouble(path, raw, "cannot open the data file"));
  sqlite3_extended_result_codes(raw, 1);
  sqlite3_busy_timeout(raw, kBusyMs);
  return db;
}

// 0 for an empty database; a database that is not ours is a Problem.
Result<int> version_of(sqlite3* db, const std::string& path) {
  Query tables(db,
               "SELECT COUNT(*), COALESCE(SUM(name = 'schema_version'), 0) FROM sqlite_master WHERE type = 'table'");
  if (tables.step() != SQLITE_ROW) return tl::unexpected(trouble(path, db, "cannot read the data file"));
  if (tables.number(0) == 0) return 0;
  if (tables.number(1) == 0) {
    return tl::unexpected(Problem{.file = path,
                                  .what = "this is a database of another program",
                                  .expected = "a Tackcloth data file or a name not yet taken",
                                  .remedy = "choose another file; nothing was changed"});
  }
  Query version(db, "SELECT COALESCE(MAX(version), 0) FROM schema_version");
  if (version.step() != SQLITE_ROW) return tl::unexpected(trouble(path, db, "cannot read the version"));
  return static_cast<int>(version.number(0));
}

// Looks without touching: a read-only connection neither writes nor checkpoints.
Result<void> look_first(const std::string& path) {
  std::error_code error;
  const auto size = std::filesystem::file_size(path, error);
  if (error || size == 0) return {};  // new, or not a file: the opening proper will say so
  auto db = connect(path, SQLITE_OPEN_READONLY);
  if (!db) return tl::unexpected(db.error());
  const auto version = version_of(db->get(), path);
  if (!version) return tl::unexpected(version.error());
  if (*version > newest_version()) return tl::unexpected(newer_schema(path, *version));
  Query health(db->get(), "PRAGMA quick_check(1)");
  if (health.step() != SQLITE_ROW) return tl::unexpected(trouble(path, db->get(), "cannot check the data file"));
  if (const std::string said = health.text(0); said != "ok") {
    return tl::unexpected(
        Problem{.file = path,
                .what = "the data file is damaged: " + said,
                .expected = "an undamaged Tackcloth data file",
                .remedy = "put back a copy of the file from before the damage, or start a new one under another name"});
  }
  return {};
}

Result<void> set_up(sqlite3* db, const std::string& path) {
  Query journal(db, "PRAGMA journal_mode=WAL");
  if (journal.step() != SQLITE_ROW || journal.text(0) != "wal") {
    return tl::unexpected(trouble(path, db, "cannot keep a write-ahead log beside the data file"));
  }
  run(db, "PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON");
  Query synchronous(db, "PRAGMA synchronous");
  if (synchronous.step() != SQLITE_ROW || synchronous.number(0) < 2) {
    return tl::unexpected(trouble(path, db, "cannot have every write go to the disk"));
  }
  return {};
}

Result<int> migrate(sqlite3* db, const std::string& path) {
  Transaction transaction(db);
  if (!transaction.begun()) return tl::unexpected(trouble(path, db, "cannot write to the data file"));
  const auto found = version_of(db, path);  // read again: another program may have been first
  if (!found) return found;
  if (*found > newest_version()) return tl::unexpected(newer_schema(path, *found));
  for (const Migration& migration : migrations()) {
    if (migration.version <= *found) continue;
    if (!run(db, migration.sqlite) ||
        Query(db, "INSERT INTO schema_version (version) VALUES (?)").bind(migration.version).step() != SQLITE_DONE) {
      return tl::unexpected(
          trouble(path, db, "cannot bring the data file to version " + std::to_string(migration.version)));
    }
  }
  if (!transaction.commit()) return tl::unexpected(trouble(path, db, "cannot bring the data file up to date"));
  return newest_version();
}

class SqliteLedger final : public Ledger {
 public:
  SqliteLedger(std::string path, Db db, int version) : path_(std::move(path)), db_(std::move(db)), version_(version) {}

  Result<long long> add_plan(const StoredPlan& plan) override {
    if (auto ok = check(plan); !ok) return tl::unexpected(ok.error());
    const std::lock_guard lock(mutex_);
    Query insert(db_.get(),
                 "INSERT INTO plan (made_at, job_name, job_toml, plan_json, options_json) VALUES (?, ?, ?, ?, ?)");
    insert.bind(plan.made_at).bind(plan.job_name).bind(plan.job_toml).bind(plan.plan_json).bind(plan.options_json);
    if (insert.step() != SQLITE_DONE) return fail("cannot store the plan");
    return sqlite3_last_insert_rowid(db_.get());
  }

  Result<std::optional<StoredPlan>> latest_plan() override {
    auto rows = read_plans(
        "SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan ORDER BY id DESC LIMIT 1");
    if (!rows) return tl::unexpected(rows.error());
    if (rows->empty()) return std::optional<StoredPlan>();
    return std::optional<StoredPlan>(std::move(rows->front()));
  }

  Result<std::vector<StoredPlan>> plans() override {
    return read_plans("SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan ORDER BY id");
  }

  Result<std::optional<StoredPlan>> plan_after(long long id) override {
    auto rows = read_plans(
        "SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan WHERE id > ? ORDER BY id LIMIT 1",
        id);
    if (!rows) return tl::unexpected(rows.error());
    if (rows->empty()) return std::optional<StoredPlan>();
    return std::optional<StoredPlan>(std::move(rows->front()));
  }

  Result<void> at_once(const std::function<Result<void>()>& work) override {
    const std::lock_guard lock(mutex_);
    Transaction transaction(db_.get());
    if (!transaction.begun()) return fail("cannot begin to store");
    if (auto done = work(); !done) return done;
    if (!transaction.commit()) return fail("cannot store it all");
    return {};
  }

  Result<long long> latest_plan_id() override {
    const std::lock_guard lock(mutex_);
    Query newest(db_.get(), "SELECT COALESCE(MAX(id), 0) FROM plan");
    if (newest.step() != SQLITE_ROW) return fail("cannot read the plans");
    return newest.number(0);
  }

  Result<long long> add_entry(const StoredEntry& entry) override {
    if (auto ok = check(entry); !ok) return tl::unexpected(ok.error());
    const std::lock_guard lock(mutex_);
    Transaction transaction(db_.get());
    if (!transaction.begun()) return fail("cannot store the entry");
    {
      Query known(db_.get(), "SELECT entry_id FROM entry_key WHERE key = ?");
      const int found = known.bind(entry.key).step();
      if (found == SQLITE_ROW) return known.number(0);
      if (found != SQLITE_DONE) return fail("cannot look the entry up");
    }
    Query insert(db_.get(), "INSERT INTO entry (key, happened, step, what, note) VALUES (?, ?, ?, ?, ?)");
    insert.bind(entry.key).bind(entry.when).bind(entry.step).bind(entry.what).bind(entry.note);
    if (insert.step() != SQLITE_DONE) return fail("cannot store the entry");
    const long long id = sqlite3_last_insert_rowid(db_.get());
    Query key(db_.get(), "INSERT INTO entry_key (key, entry_id) VALUES (?, ?)");
    if (key.bind(entry.key).bind(id).step() != SQLITE_DONE) return fail("cannot store the entry's key");
    if (!entry.mark.empty()) {
      Query mark(db_.get(), "INSERT INTO entry_mark (entry_id, mark) VALUES (?, ?)");
      if (mark.bind(id).bind(entry.mark).step() != SQLITE_DONE) return fail("cannot store what the step was");
    }
    if (entry.took_min > 0) {
      Query took(db_.get(), "INSERT INTO entry_took (entry_id, minutes) VALUES (?, ?)");
      if (took.bind(id).bind(entry.took_min).step() != SQLITE_DONE) return fail("cannot store how long it took");
    }
    if (!transaction.commit()) return fail("cannot store the entry");
    return id;
  }

  Result<std::vector<StoredEntry>> entries() override {
    const std::lock_guard lock(mutex_);
    Query query(db_.get(),
                "SELECT e.id, e.key, e.happened, e.step, e.what, e.note, COALESCE(m.mark, ''), COALESCE(t.minutes, 0) "
                "FROM entry e JOIN entry_key k ON k.entry_id = e.id LEFT JOIN entry_mark m ON m.entry_id = e.id "
                "LEFT JOIN entry_took t ON t.entry_id = e.id ORDER BY e.id");
    std::vector<StoredEntry> rows;
    int state;
    while ((state = query.step()) == SQLITE_ROW) {
      rows.push_back(
          {query.number(0), query.text(1), query.text(2), query.text(3), query.text(4), query.text(5), query.text(6),
           static_cast<int>(query.number(7))});
    }
    if (state != SQLITE_DONE) return fail("cannot read the entries");
    return rows;
  }

  Result<long long> add_change(const StoredChange& change) override {
    if (auto ok = check(change); !ok) return tl::unexpected(ok.error());
    const std::lock_guard lock(mutex_);
    Transaction transaction(db_.get());
    if (!transaction.begun()) return fail("cannot store the change");
    {
      Query known(db_.get(), "SELECT id FROM look_change WHERE key = ?");
      const int found = known.bind(change.key).step();
      if (found == SQLITE_ROW) return known.number(0);
      if (found != SQLITE_DONE) return fail("cannot look the change up");
    }
    long long id = 0;
    {
      Query insert(db_.get(), "INSERT INTO look_change (key, happened, body) VALUES (?, ?, ?)");
      if (insert.bind(change.key).bind(change.when).bind(change.body).step() != SQLITE_DONE)
        return fail("cannot store the change");
      id = sqlite3_last_insert_rowid(db_.get());
    }
    if (!transaction.commit()) return fail("cannot store the change");
    return id;
  }

  Result<std::vector<StoredChange>> changes() override {
    const std::lock_guard lock(mutex_);
    Query query(db_.get(), "SELECT id, key, happened, body FROM look_change ORDER BY id");
    std::vector<StoredChange> rows;
    int state;
    while ((state = query.step()) == SQLITE_ROW)
      rows.push_back({query.number(0), query.text(1), query.text(2), query.text(3)});
    if (state != SQLITE_DONE) return fail("cannot read the changes");
    return rows;
  }

  Result<long long> add_photo_bytes(const StoredPhoto& photo, long long offset, const std::string& bytes) override {
    if (auto ok = check(photo, offset, bytes); !ok) return tl::unexpected(ok.error());
    const std::lock_guard lock(mutex_);
    Transaction transaction(db_.get());
    if (!transaction.begun()) return fail("cannot store the photo");
    long long have = 0;
    {
      Query known(db_.get(), "SELECT size FROM photo WHERE id = ?");
      const int found = known.bind(photo.id).step();
      if (found == SQLITE_ROW && known.number(0) != photo.size) return tl::unexpected(photo_differs(photo.id));
      if (found != SQLITE_ROW && found != SQLITE_DONE) return fail("cannot look the photo up");
      if (found == SQLITE_DONE) {
        Query insert(db_.get(), "INSERT INTO photo (id, happened, size) VALUES (?, ?, ?)");
        if (insert.bind(photo.id).bind(photo.when).bind(photo.size).step() != SQLITE_DONE)
          return fail("cannot store the photo");
      }
    }
    {
      Query there(db_.get(), "SELECT COALESCE(SUM(LENGTH(bytes)), 0) FROM photo_bytes WHERE photo = ?");
      if (there.bind(photo.id).step() != SQLITE_ROW) return fail("cannot look the photo up");
      have = there.number(0);
    }
    const std::string_view more = new_bytes(bytes, offset, have);
    if (!more.empty()) {
      Query insert(db_.get(), "INSERT INTO photo_bytes (photo, offset_in, bytes) VALUES (?, ?, ?)");
      if (insert.bind(photo.id).bind(have).bind_bytes(more).step() != SQLITE_DONE)
        return fail("cannot store the photo");
      have += static_cast<long long>(more.size());
    }
    if (!transaction.commit()) return fail("cannot store the photo");
    return have;
  }

  Result<std::vector<StoredPhoto>> photos() override {
    const std::lock_guard lock(mutex_);
    Query query(db_.get(),
                "SELECT p.id, p.happened, p.size, COALESCE((SELECT SUM(LENGTH(b.bytes)) FROM photo_bytes b "
                "WHERE b.photo = p.id), 0) FROM photo p ORDER BY p.happened, p.id");
    std::vector<StoredPhoto> rows;
    int state;
    while ((state = query.step()) == SQLITE_ROW)
      rows.push_back({query.text(0), query.text(1), query.number(2), query.number(3)});
    if (state != SQLITE_DONE) return fail("cannot read the photos");
    return rows;
  }

  Result<std::string> photo_bytes(const std::string& id) override {
    const std::lock_guard lock(mutex_);
    Query about(db_.get(), "SELECT size FROM photo WHERE id = ?");
    if (about.bind(id).step() != SQLITE_ROW) return tl::unexpected(photo_not_there(id));
    Query query(db_.get(), "SELECT bytes FROM photo_bytes WHERE photo = ? ORDER BY offset_in");
    query.bind(id);
    std::string bytes;
    int state;
    while ((state = query.step()) == SQLITE_ROW) bytes += query.text(0);
    if (state != SQLITE_DONE) return fail("cannot read the photo");
    if (static_cast<long long>(bytes.size()) != about.number(0)) return tl::unexpected(photo_not_there(id));
    return bytes;
  }

  Result<long long> add_phone(const StoredPhone& phone) override {
    if (auto ok = check(phone); !ok) return tl::unexpected(ok.error());
    const std::lock_guard lock(mutex_);
    Query insert(db_.get(), "INSERT INTO phone (token_hash, name, happened) VALUES (?, ?, ?)");
    if (insert.bind(phone.token_hash).bind(phone.name).bind(phone.when).step() != SQLITE_DONE)
      return fail("cannot store the telephone");
    return sqlite3_last_insert_rowid(db_.get());
  }

  Result<std::vector<StoredPhone>> phones() override {
    const std::lock_guard lock(mutex_);
    Query query(db_.get(),
                "SELECT p.id, p.token_hash, p.name, p.happened, COALESCE(f.happened, '') FROM phone p "
                "LEFT JOIN phone_forgotten f ON f.phone_id = p.id ORDER BY p.id");
    std::vector<StoredPhone> rows;
    int state;
    while ((state = query.step()) == SQLITE_ROW)
      rows.push_back({query.number(0), query.text(1), query.text(2), query.text(3), query.text(4)});
    if (state != SQLITE_DONE) return fail("cannot read the telephones");
    return rows;
  }

  Result<void> forget_phone(long long id, const std::string& when) override {
    const std::lock_guard lock(mutex_);
    Query known(db_.get(), "SELECT 1 FROM phone WHERE id = ?");
    const int found = known.bind(id).step();
    if (found == SQLITE_DONE) return tl::unexpected(no_such_phone(id));
    if (found != SQLITE_ROW) return fail("cannot look the telephone up");
    Query insert(db_.get(), "INSERT INTO phone_forgotten (phone_id, happened) VALUES (?, ?) ON CONFLICT DO NOTHING");
    if (insert.bind(id).bind(when).step() != SQLITE_DONE) return fail("cannot forget the telephone");
    return {};
  }

  int schema_version() const override { return version_; }

 private:
  tl::unexpected<Problem> fail(const std::string& doing) const {
    return tl::unexpected(trouble(path_, db_.get(), doing));
  }

  Result<std::vector<StoredPlan>> read_plans(const char* sql, std::optional<long long> above = {}) {
    const std::lock_guard lock(mutex_);
    Query query(db_.get(), sql);
    if (above) query.bind(*above);
    std::vector<StoredPlan> rows;
    int state;
    while ((state = query.step()) == SQLITE_ROW) {
      rows.push_back({query.number(0), query.text(1), query.text(2), query.text(3), query.text(4), query.text(5)});
    }
    if (state != SQLITE_DONE) return fail("cannot read the plans");
    return rows;
  }

  std::string path_;
  Db db_;
  int version_;
  std::recursive_mutex mutex_;  // at_once holds it over what its work does
};

}  // namespace

Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path) {
  if (path.empty()) {
    return tl::unexpected(Problem{.file = {},
                                  .what = "no data file is named",
                                  .expected = "a file name",
                                  .remedy = "write for instance shop.db"});
  }
  if (auto seen = look_first(path); !seen) return tl::unexpected(seen.error());
  auto db = connect(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
  if (!db) return tl::unexpected(db.error());
  if (auto ready = set_up(db->get(), path); !ready) return tl::unexpected(ready.error());
  const auto version = migrate(db->get(), path);
  if (!version) return tl::unexpected(version.error());
  return std::make_unique<SqliteLedger>(path, std::move(*db), *version);
}

}  // namespace tackcloth::ledger
