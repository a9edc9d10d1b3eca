// PostgreSQL through libpqxx. Tables live in the connection's search path.
#include <cstring>
#include <mutex>
#include <pqxx/pqxx>

#include "ledger/backends.h"
#include "ledger/migrations.h"

namespace tackcloth::ledger {
namespace {

// Any number does, as long as every Tackcloth takes the same one: it keeps two programs from migrating at once.
constexpr const char* kMigrationLock = "SELECT pg_advisory_xact_lock(7420461)";

// The address without user and password, fit for a message.
std::string bare(const std::string& url) {
  const auto scheme = url.find("://");
  const auto at = url.find('@');
  if (scheme == std::string::npos || at == std::string::npos) return url.substr(0, url.find('?'));
  return url.substr(0, scheme + 3) + url.substr(at + 1, url.find('?', at) - at - 1);
}

Problem trouble(const std::string& url, const std::string& doing, const std::exception& error) {
  std::string said = error.what();
  while (!said.empty() && (said.back() == '\n' || said.back() == ' ')) said.pop_back();
  return {.file = bare(url),
          .what = doing + ": " + said,
          .expected = "a PostgreSQL database this user may write to",
          .remedy = "check that the server runs, and the user, password and database in the address"};
}

int version_of(pqxx::transaction_base& work) {
  const auto present = work.exec1("SELECT to_regclass('schema_version') IS NOT NULL");
  if (!present[0].as<bool>()) return 0;
  return work.exec1("SELECT COALESCE(MAX(version), 0) FROM schema_version")[0].as<int>();
}

StoredPlan plan_of(const pqxx::row& row) {
  return {row[0].as<long long>(),   row[1].as<std::string>(), row[2].as<std::string>(),
          row[3].as<std::string>(), row[4].as<std::string>(), row[5].as<std::string>()};
}

class PostgresLedger final : public Ledger {
 public:
  PostgresLedger(std::string url, std::unique_ptr<pqxx::connection> connection)
      : url_(std::move(url)), connection_(std::move(connection)) {}

  Result<long long> add_plan(const StoredPlan& plan) override {
    if (auto ok = check(plan); !ok) return tl::unexpected(ok.error());
    return with<long long>("cannot store the plan", [&](pqxx::work& work) {
      return work
          .exec_params1(
              "INSERT INTO plan (made_at, job_name, job_toml, plan_json, options_json) VALUES ($1, $2, $3, $4, $5) "
              "RETURNING id",
              plan.made_at, plan.job_name, plan.job_toml, plan.plan_json, plan.options_json)[0]
          .as<long long>();
    });
  }

  Result<std::optional<StoredPlan>> latest_plan() override {
    return with<std::optional<StoredPlan>>("cannot read the plan", [](pqxx::work& work) {
      const auto rows = work.exec(
          "SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan ORDER BY id DESC LIMIT 1");
      return rows.empty() ? std::optional<StoredPlan>() : std::optional<StoredPlan>(plan_of(rows[0]));
    });
  }

  Result<std::vector<StoredPlan>> plans() override {
    return with<std::vector<StoredPlan>>("cannot read the plans", [](pqxx::work& work) {
      std::vector<StoredPlan> plans;
      for (const auto& row :
           work.exec("SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan ORDER BY id")) {
        plans.push_back(plan_of(row));
      }
      return plans;
    });
  }

  Result<std::optional<StoredPlan>> plan_after(long long id) override {
    return with<std::optional<StoredPlan>>("cannot read the plan", [&](pqxx::work& work) {
      const auto rows = work.exec_params(
          "SELECT id, made_at, job_name, job_toml, plan_json, options_json FROM plan WHERE id > $1 ORDER BY id LIMIT 1",
          id);
      return rows.empty() ? std::optional<StoredPlan>() : std::optional<StoredPlan>(plan_of(rows[0]));
    });
  }

  Result<void> at_once(const std::function<Result<void>()>& work) override {
    const std::lock_guard lock(mutex_);
    try {
      if (!connection_->is_open()) connection_ = connect(url_);
      pqxx::work all(*connection_);
      outer_ = &all;
      auto done = work();
      outer_ = nullptr;
      if (!done) return done;  // `all` is rolled back
      all.commit();
      return {};
    } catch (const std::exception& error) {
      outer_ = nullptr;
      return tl::unexpected(trouble(url_, "cannot store it all", error));
    }
  }

  Result<long long> latest_plan_id() override {
    return with<long long>("cannot read the plans", [](pqxx::work& work) {
      return work.exec1("SELECT COALESCE(MAX(id), 0) FROM plan")[0].as<long long>();
    });
  }

  Result<long long> add_entry(const StoredEntry& entry) override {
    if (auto ok = check(entry); !ok) return tl::unexpected(ok.error());
    return with<long long>("cannot store the entry", [&](pqxx::work& work) {
      // Entries come rarely: one writer at a time is simplest, and keeps ids in the order of arrival.
      work.exec0("LOCK TABLE entry_key IN EXCLUSIVE MODE");
      const auto known = work.exec_params("SELECT entry_id FROM entry_key WHERE key = $1", entry.key);
      if (!known.empty()) return known[0][0].as<long long>();
      const auto id =
          work.exec_params1(
                  "INSERT INTO entry (key, happened, step, what, note) VALUES ($1, $2, $3, $4, $5) RETURNING id",
                  entry.key, entry.when, entry.step, entry.what, entry.note)[0]
              .as<long long>();
      work.exec_params0("INSERT INTO entry_key (key, entry_id) VALUES ($1, $2)", entry.key, id);
      if (!entry.mark.empty())
        work.exec_params0("INSERT INTO entry_mark (entry_id, mark) VALUES ($1, $2)", id, entry.mark);
      if (entry.took_min > 0)
        work.exec_params0("INSERT INTO entry_took (entry_id, minutes) VALUES ($1, $2)", id, entry.took_min);
      return id;
    });
  }

  Result<std::vector<StoredEntry>> entries() override {
    return with<std::vector<StoredEntry>>("cannot read the entries", [](pqxx::work& work) {
      std::vector<StoredEntry> entries;
      for (const auto& row :
           work.exec("SELECT e.id, e.key, e.happened, e.step, e.what, e.note, COALESCE(m.mark, ''), "
                     "COALESCE(t.minutes, 0) FROM entry e JOIN entry_key k ON k.entry_id = e.id "
                     "LEFT JOIN entry_mark m ON m.entry_id = e.id "
                     "LEFT JOIN entry_took t ON t.entry_id = e.id ORDER BY e.id")) {
        entries.push_back({row[0].as<long long>(), row[1].as<std::string>(), row[2].as<std::string>(),
                           row[3].as<std::string>(), row[4].as<std::string>(), row[5].as<std::string>(),
                           row[6].as<std::string>(), row[7].as<int>()});
      }
      return entries;
    });
  }

  Result<long long> add_change(const StoredChange& change) override {
    if (auto ok = check(change); !ok) return tl::unexpected(ok.error());
    return with<long long>("cannot store the change", [&](pqxx::work& work) {
      work.exec0("LOCK TABLE look_change IN EXCLUSIVE MODE");
      const auto known = work.exec_params("SELECT id FROM look_change WHERE key = $1", change.key);
      if (!known.empty()) return known[0][0].as<long long>();
      return work
          .exec_params1("INSERT INTO look_change (key, happened, body) VALUES ($1, $2, $3) RETURNING id", change.key,
                        change.when, change.body)[0]
          .as<long long>();
    });
  }

  Result<std::vector<StoredChange>> changes() override {
    return with<std::vector<StoredChange>>("cannot read the changes", [](pqxx::work& work) {
      std::vector<StoredChange> changes;
      for (const auto& row : work.exec("SELECT id, key, happened, body FROM look_change ORDER BY id")) {
        changes.push_back(
            {row[0].as<long long>(), row[1].as<std::string>(), row[2].as<std::string>(), row[3].as<std::string>()});
      }
      return changes;
    });
  }

  Result<long long> add_photo_bytes(const StoredPhoto& photo, long long offset, const std::string& bytes) override {
    if (auto ok = check(photo, offset, bytes); !ok) return tl::unexpected(ok.error());
    bool differs = false;
    auto have = with<long long>("cannot store the photo", [&](pqxx::work& work) {
      work.exec0("LOCK TABLE photo IN EXCLUSIVE MODE");
      const auto known = work.exec_params("SELECT size FROM photo WHERE id = $1", photo.id);
      if (known.empty())
        work.exec_params0("INSERT INTO photo (id, happened, size) VALUES ($1, $2, $3)", photo.id, photo.when,
                          photo.size);
      differs = !known.empty() && known[0][0].as<long long>() != photo.size;
      if (differs) return 0LL;
      const auto there =
          work.exec_params1("SELECT COALESCE(SUM(LENGTH(bytes)), 0) FROM photo_bytes WHERE photo = $1", photo.id)[0]
              .as<long long>();
      const std::string_view more = new_bytes(bytes, offset, there);
      if (more.empty()) return there;
      work.exec_params0("INSERT INTO photo_bytes (photo, offset_in, bytes) VALUES ($1, $2, $3)", photo.id, there,
                        pqxx::binarystring(more.data(), more.size()));
      return there + static_cast<long long>(more.size());
    });
    if (have && differs) return tl::unexpected(photo_differs(photo.id));
    return have;
  }

  Result<std::vector<StoredPhoto>> photos() override {
    return with<std::vector<StoredPhoto>>("cannot read the photos", [](pqxx::work& work) {
      std::vector<StoredPhoto> photos;
      for (const auto& row :
           work.exec("SELECT p.id, p.happened, p.size, COALESCE((SELECT SUM(LENGTH(b.bytes)) FROM photo_bytes b "
                     "WHERE b.photo = p.id), 0) FROM photo p ORDER BY p.happened, p.id")) {
        photos.push_back(
            {row[0].as<std::string>(), row[1].as<std::string>(), row[2].as<long long>(), row[3].as<long long>()});
      }
      return photos;
    });
  }

  Result<std::string> photo_bytes(const std::string& id) override {
    bool whole = false;
    auto bytes = with<std::string>("cannot read the photo", [&](pqxx::work& work) {
      std::string all;
      const auto about = work.exec_params("SELECT size FROM photo WHERE id = $1", id);
      if (about.empty()) return all;
      for (const auto& row :
           work.exec_params("SELECT bytes FROM photo_bytes WHERE photo = $1 ORDER BY offset_in", id)) {
        const pqxx::binarystring part(row[0]);
        all.append(part.get(), part.size());
      }
      whole = static_cast<long long>(all.size()) == about[0][0].as<long long>();
      return all;
    });
    if (bytes && !whole) return tl::unexpected(photo_not_there(id));
    return bytes;
  }

  Result<long long> add_phone(const StoredPhone& phone) override {
    if (auto ok = check(phone); !ok) return tl::unexpected(ok.error());
    return with<long long>("cannot store the telephone", [&](pqxx::work& work) {
      return work
          .exec_params1("INSERT INTO phone (token_hash, name, happened) VALUES ($1, $2, $3) RETURNING id",
                        phone.token_hash, phone.name, phone.when)[0]
          .as<long long>();
    });
  }

  Result<std::vector<StoredPhone>> phones() override {
    return with<std::vector<StoredPhone>>("cannot read the telephones", [](pqxx::work& work) {
      std::vector<StoredPhone> phones;
      for (const auto& row :
           work.exec("SELECT p.id, p.token_hash, p.name, p.happened, COALESCE(f.happened, '') FROM phone p "
                     "LEFT JOIN phone_forgotten f ON f.phone_id = p.id ORDER BY p.id")) {
        phones.push_back({row[0].as<long long>(), row[1].as<std::string>(), row[2].as<std::string>(),
                          row[3].as<std::string>(), row[4].as<std::string>()});
      }
      return phones;
    });
  }

  Result<void> forget_phone(long long id, const std::string& when) override {
    const auto known = with<bool>("cannot forget the telephone", [&](pqxx::work& work) {
      if (work.exec_params("SELECT 1 FROM phone WHERE id = $1", id).empty()) return false;
      work.exec_params0("INSERT INTO phone_forgotten (phone_id, happened) VALUES ($1, $2) ON CONFLICT DO NOTHING", id,
                        when);
      return true;
    });
    if (!known) return tl::unexpected(known.error());
    if (!*known) return tl::unexpected(no_such_phone(id));
    return {};
  }

  int schema_version() const override { return newest_version(); }

  Result<void> migrate() {
    int found = 0;
    auto done = with<bool>("cannot bring the data up to date", [&](pqxx::work& work) {
      work.exec(kMigrationLock);
      found = version_of(work);
      if (found > newest_version()) return false;
      for (const Migration& migration : migrations()) {
        if (migration.version <= found) continue;
        work.exec(migration.postgres);
        work.exec_params0("INSERT INTO schema_version (version) VALUES ($1)", migration.version);
      }
      return true;
    });
    if (!done) return tl::unexpected(done.error());
    if (!*done) return tl::unexpected(newer_schema(bare(url_), found));
    return {};
  }

 private:
  // Runs `body` in a transaction and commits; a lost connection is opened again once before the work, never after it.
  template <class T, class Body>
  Result<T> with(const char* doing, Body body) {
    const std::lock_guard lock(mutex_);
    try {
      if (outer_ != nullptr) return body(*outer_);
      if (!connection_->is_open()) connection_ = connect(url_);
      pqxx::work work(*connection_);
      T value = body(work);
      work.commit();
      return value;
    } catch (const std::exception& error) {
      return tl::unexpected(trouble(url_, doing, error));
    }
  }

 public:
  static std::unique_ptr<pqxx::connection> connect(const std::string& url) {
    auto connection = std::make_unique<pqxx::connection>(url);
    pqxx::nontransaction setting(*connection);
    setting.exec0("SET synchronous_commit = on");
    setting.exec0("SET client_encoding = 'UTF8'");
    return connection;
  }

 private:
  std::string url_;
  std::unique_ptr<pqxx::connection> connection_;
  pqxx::work* outer_ = nullptr;  // of at_once
  std::recursive_mutex mutex_;
};

}  // namespace

Result<std::unique_ptr<Ledger>> open_postgres(const std::string& url) {
  try {
    auto ledger = std::make_unique<PostgresLedger>(url, PostgresLedger::connect(url));
    if (auto ready = ledger->migrate(); !ready) return tl::unexpected(ready.error());
    return std::unique_ptr<Ledger>(std::move(ledger));
  } catch (const std::exception& error) {
    return tl::unexpected(trouble(url, "cannot reach the database", error));
  }
}

}  // namespace tackcloth::ledger
