#include "ledger/migrations.h"

namespace tackcloth::ledger {
namespace {

// 1: plans and entries, both append-only.
constexpr const char* kSqlite1 = R"sql(
CREATE TABLE schema_version (version INTEGER PRIMARY KEY);
CREATE TABLE plan (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  made_at TEXT NOT NULL,
  job_name TEXT NOT NULL,
  job_toml TEXT NOT NULL,
  plan_json TEXT NOT NULL
);
CREATE TABLE entry (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  key TEXT NOT NULL,
  happened TEXT NOT NULL,
  step TEXT NOT NULL,
  what TEXT NOT NULL,
  note TEXT NOT NULL
);
CREATE TRIGGER plan_no_update BEFORE UPDATE ON plan BEGIN SELECT RAISE(ABORT, 'plans are only added'); END;
CREATE TRIGGER plan_no_delete BEFORE DELETE ON plan BEGIN SELECT RAISE(ABORT, 'plans are only added'); END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are only added'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are only added'); END;
)sql";

constexpr const char* kPostgres1 = R"sql(
CREATE TABLE schema_version (version INTEGER PRIMARY KEY);
CREATE TABLE plan (
  id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  made_at TEXT NOT NULL,
  job_name TEXT NOT NULL,
  job_toml TEXT NOT NULL,
  plan_json TEXT NOT NULL
);
CREATE TABLE entry (
  id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  key TEXT NOT NULL,
  happened TEXT NOT NULL,
  step TEXT NOT NULL,
  what TEXT NOT NULL,
  note TEXT NOT NULL
);
CREATE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql AS
  $body$ BEGIN RAISE EXCEPTION 'rows of % are only added', TG_TABLE_NAME; END $body$;
CREATE TRIGGER plan_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON plan
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
CREATE TRIGGER entry_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON entry
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 2: one entry a key. Version 1 let the same key in twice (a double tap, a retry); those rows stay where they are,
// since nothing is ever removed, and the first of each key is the one that counts.
constexpr const char* kSqlite2 = R"sql(
CREATE TABLE entry_key (
  key TEXT PRIMARY KEY,
  entry_id INTEGER NOT NULL UNIQUE REFERENCES entry(id)
) WITHOUT ROWID;
INSERT INTO entry_key (key, entry_id) SELECT key, MIN(id) FROM entry GROUP BY key;
CREATE TRIGGER entry_key_no_update BEFORE UPDATE ON entry_key BEGIN SELECT RAISE(ABORT, 'keys are only added'); END;
CREATE TRIGGER entry_key_no_delete BEFORE DELETE ON entry_key BEGIN SELECT RAISE(ABORT, 'keys are only added'); END;
CREATE TRIGGER schema_version_no_update BEFORE UPDATE ON schema_version
  BEGIN SELECT RAISE(ABORT, 'versions are only added'); END;
CREATE TRIGGER schema_version_no_delete BEFORE DELETE ON schema_version
  BEGIN SELECT RAISE(ABORT, 'versions are only added'); END;
)sql";

constexpr const char* kPostgres2 = R"sql(
CREATE TABLE entry_key (
  key TEXT PRIMARY KEY,
  entry_id BIGINT NOT NULL UNIQUE REFERENCES entry(id)
);
INSERT INTO entry_key (key, entry_id) SELECT key, MIN(id) FROM entry GROUP BY key;
CREATE TRIGGER entry_key_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON entry_key
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
CREATE TRIGGER schema_version_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON schema_version
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 3: what a plan was asked with, so that a new plan is asked the same way.
constexpr const char* kBoth3 = R"sql(
ALTER TABLE plan ADD COLUMN options_json TEXT NOT NULL DEFAULT '{}';
)sql";

// 4: changes to the look, append-only as well: taking one back is another one.
constexpr const char* kSqlite4 = R"sql(
CREATE TABLE look_change (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  key TEXT NOT NULL UNIQUE,
  happened TEXT NOT NULL,
  body TEXT NOT NULL
);
CREATE TRIGGER look_change_no_update BEFORE UPDATE ON look_change
  BEGIN SELECT RAISE(ABORT, 'changes are only added'); END;
CREATE TRIGGER look_change_no_delete BEFORE DELETE ON look_change
  BEGIN SELECT RAISE(ABORT, 'changes are only added'); END;
)sql";

constexpr const char* kPostgres4 = R"sql(
CREATE TABLE look_change (
  id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  key TEXT NOT NULL UNIQUE,
  happened TEXT NOT NULL,
  body TEXT NOT NULL
);
CREATE TRIGGER look_change_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON look_change
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 5: what the step of an entry was. Ids number the steps of a piece, and shift when the piece is changed.
constexpr const char* kSqlite5 = R"sql(
CREATE TABLE entry_mark (
  entry_id INTEGER PRIMARY KEY REFERENCES entry(id),
  mark TEXT NOT NULL
);
CREATE TRIGGER entry_mark_no_update BEFORE UPDATE ON entry_mark BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
CREATE TRIGGER entry_mark_no_delete BEFORE DELETE ON entry_mark BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
)sql";

constexpr const char* kPostgres5 = R"sql(
CREATE TABLE entry_mark (
  entry_id BIGINT PRIMARY KEY REFERENCES entry(id),
  mark TEXT NOT NULL
);
CREATE TRIGGER entry_mark_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON entry_mark
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 6: photos, in the pieces they came in.
constexpr const char* kSqlite6 = R"sql(
CREATE TABLE photo (
  id TEXT PRIMARY KEY,
  happened TEXT NOT NULL,
  size INTEGER NOT NULL
) WITHOUT ROWID;
CREATE TABLE photo_bytes (
  photo TEXT NOT NULL REFERENCES photo(id),
  offset_in INTEGER NOT NULL,
  bytes BLOB NOT NULL,
  UNIQUE (photo, offset_in)
);
CREATE TRIGGER photo_no_update BEFORE UPDATE ON photo BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER photo_no_delete BEFORE DELETE ON photo BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER photo_bytes_no_update BEFORE UPDATE ON photo_bytes
  BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER photo_bytes_no_delete BEFORE DELETE ON photo_bytes
  BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
)sql";

constexpr const char* kPostgres6 = R"sql(
CREATE TABLE photo (
  id TEXT PRIMARY KEY,
  happened TEXT NOT NULL,
  size BIGINT NOT NULL
);
CREATE TABLE photo_bytes (
  photo TEXT NOT NULL REFERENCES photo(id),
  offset_in BIGINT NOT NULL,
  bytes BYTEA NOT NULL,
  UNIQUE (photo, offset_in)
);
CREATE TRIGGER photo_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON photo
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
CREATE TRIGGER photo_bytes_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON photo_bytes
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 7: telephones let in from the local network, and when they were forgotten.
constexpr const char* kSqlite7 = R"sql(
CREATE TABLE phone (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  token_hash TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL,
  happened TEXT NOT NULL
);
CREATE TABLE phone_forgotten (
  phone_id INTEGER PRIMARY KEY REFERENCES phone(id),
  happened TEXT NOT NULL
);
CREATE TRIGGER phone_no_update BEFORE UPDATE ON phone BEGIN SELECT RAISE(ABORT, 'telephones are only added'); END;
CREATE TRIGGER phone_no_delete BEFORE DELETE ON phone BEGIN SELECT RAISE(ABORT, 'telephones are only added'); END;
CREATE TRIGGER phone_forgotten_no_update BEFORE UPDATE ON phone_forgotten
  BEGIN SELECT RAISE(ABORT, 'telephones stay forgotten'); END;
CREATE TRIGGER phone_forgotten_no_delete BEFORE DELETE ON phone_forgotten
  BEGIN SELECT RAISE(ABORT, 'telephones stay forgotten'); END;
)sql";

constexpr const char* kPostgres7 = R"sql(
CREATE TABLE phone (
  id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  token_hash TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL,
  happened TEXT NOT NULL
);
CREATE TABLE phone_forgotten (
  phone_id BIGINT PRIMARY KEY REFERENCES phone(id),
  happened TEXT NOT NULL
);
CREATE TRIGGER phone_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON phone
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
CREATE TRIGGER phone_forgotten_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON phone_forgotten
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

// 8: how long a step took, told with its entry.
constexpr const char* kSqlite8 = R"sql(
CREATE TABLE entry_took (
  entry_id INTEGER PRIMARY KEY REFERENCES entry(id),
  minutes INTEGER NOT NULL CHECK (minutes > 0)
);
CREATE TRIGGER entry_took_no_update BEFORE UPDATE ON entry_took BEGIN SELECT RAISE(ABORT, 'times are only added'); END;
CREATE TRIGGER entry_took_no_delete BEFORE DELETE ON entry_took BEGIN SELECT RAISE(ABORT, 'times are only added'); END;
)sql";

constexpr const char* kPostgres8 = R"sql(
CREATE TABLE entry_took (
  entry_id BIGINT PRIMARY KEY REFERENCES entry(id),
  minutes INTEGER NOT NULL CHECK (minutes > 0)
);
CREATE TRIGGER entry_took_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON entry_took
  FOR EACH STATEMENT EXECUTE FUNCTION only_added();
)sql";

constexpr Migration kMigrations[] = {{1, kSqlite1, kPostgres1}, {2, kSqlite2, kPostgres2}, {3, kBoth3, kBoth3},
                                     {4, kSqlite4, kPostgres4}, {5, kSqlite5, kPostgres5}, {6, kSqlite6, kPostgres6},
                                     {7, kSqlite7, kPostgres7}, {8, kSqlite8, kPostgres8}};

}  // namespace

std::span<const Migration> migrations() { return kMigrations; }
int newest_version() { return migrations().back().version; }

}  // namespace tackcloth::ledger
