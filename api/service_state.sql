-- Tables of the service's own memory. Every statement may run again on an existing file.
PRAGMA synchronous = NORMAL;
PRAGMA secure_delete = ON;
PRAGMA foreign_keys = ON;
BEGIN IMMEDIATE;

-- One row per key; the key itself is never stored, only its SHA-256.
CREATE TABLE IF NOT EXISTS keys (
    key_id TEXT PRIMARY KEY,
    hash BLOB NOT NULL UNIQUE,
    name TEXT NOT NULL,
    coach TEXT NOT NULL,
    scopes TEXT NOT NULL,
    players TEXT,
    created_at TEXT NOT NULL,
    expires_at TEXT,
    revoked_at TEXT
);

-- One row per share link of one report of one player.
CREATE TABLE IF NOT EXISTS share_links (
    link_id TEXT PRIMARY KEY,
    hash BLOB NOT NULL UNIQUE,
    player_id TEXT NOT NULL,
    report TEXT NOT NULL,
    made_by TEXT NOT NULL,
    created_at TEXT NOT NULL,
    expires_at TEXT NOT NULL
);

-- One row per read of a player's answers by an app.
CREATE TABLE IF NOT EXISTS reads (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    key_id TEXT NOT NULL,
    player_id TEXT NOT NULL,
    route TEXT NOT NULL,
    status INTEGER NOT NULL
);

-- One row per piece of work somebody waits for.
CREATE TABLE IF NOT EXISTS jobs (
    job_id TEXT PRIMARY KEY,
    kind TEXT NOT NULL,
    player_id TEXT NOT NULL,
    made_by TEXT NOT NULL,
    state TEXT NOT NULL,
    created_at TEXT NOT NULL,
    finished_at TEXT,
    request TEXT NOT NULL,
    outcome TEXT
);

CREATE INDEX IF NOT EXISTS jobs_unfinished ON jobs (made_by)
    WHERE state IN ('waiting', 'running');

-- One row per small upload that waits for its job; larger ones wait in files of the same name.
CREATE TABLE IF NOT EXISTS job_uploads (
    job_id TEXT PRIMARY KEY REFERENCES jobs ON DELETE CASCADE,
    body BLOB NOT NULL
) WITHOUT ROWID;

-- One row per request that carried an Idempotency-Key, with the reply to repeat.
CREATE TABLE IF NOT EXISTS replies (
    key_id TEXT NOT NULL,
    idempotency_key TEXT NOT NULL,
    fingerprint TEXT NOT NULL,
    at TEXT NOT NULL,
    status INTEGER,
    headers TEXT,
    body BLOB,
    resource TEXT,
    player_id TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (key_id, idempotency_key)
);

-- One row per thing that changed; seq is the cursor of the feed. `coach` and `named_in` (ids of keys
-- limited to this player by name) say who may still be told once the player is gone.
CREATE TABLE IF NOT EXISTS changes (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    type TEXT NOT NULL,
    player_id TEXT NOT NULL,
    import_id TEXT,
    coach TEXT NOT NULL DEFAULT '',
    named_in TEXT NOT NULL DEFAULT '[]',
    may_leave INTEGER NOT NULL DEFAULT 1
);

-- What the feed has already told about each player.
CREATE TABLE IF NOT EXISTS known_players (
    player_id TEXT PRIMARY KEY,
    coach TEXT NOT NULL,
    may_leave INTEGER NOT NULL,
    version TEXT NOT NULL,
    imports TEXT NOT NULL
);

-- One row per address that wants to be told; the secret signs what is sent.
CREATE TABLE IF NOT EXISTS webhooks (
    webhook_id TEXT PRIMARY KEY,
    key_id TEXT NOT NULL,
    url TEXT NOT NULL,
    secret TEXT NOT NULL,
    events TEXT NOT NULL,
    created_at TEXT NOT NULL,
    told_until INTEGER NOT NULL,
    disabled_at TEXT
);

-- One row per message to one address, until it was taken or given up.
CREATE TABLE IF NOT EXISTS deliveries (
    delivery_id INTEGER PRIMARY KEY AUTOINCREMENT,
    webhook_id TEXT NOT NULL REFERENCES webhooks ON DELETE CASCADE,
    seq INTEGER NOT NULL,
    message_id TEXT NOT NULL,
    attempts INTEGER NOT NULL DEFAULT 0,
    next_at TEXT,
    status TEXT NOT NULL DEFAULT 'waiting',
    last_answer TEXT
);
CREATE INDEX IF NOT EXISTS deliveries_due ON deliveries (status, next_at);
CREATE INDEX IF NOT EXISTS reads_of_player ON reads (player_id, seq);
COMMIT;
