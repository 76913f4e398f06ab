-- Deliveries, their pieces and photos, and the jobs that measure them. A photo is its content: the same bytes twice in a delivery are one row.
-- deaths: how often the process ended while it worked on the photo; tries: how often measuring it failed; finished_no: the photos of a delivery
-- in the order they were done with (what a listener saw last tells what it missed).
CREATE TABLE deliveries (
    id              TEXT PRIMARY KEY,
    created_utc     TEXT NOT NULL,
    created_by      TEXT NOT NULL,
    delivery_json   TEXT NOT NULL,
    scale_json      TEXT,
    finished_count  INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE pieces (
    id              TEXT PRIMARY KEY,
    delivery_id     TEXT NOT NULL REFERENCES deliveries (id),
    number          INTEGER NOT NULL,
    piece_json      TEXT NOT NULL,
    UNIQUE (delivery_id, number)
) STRICT;
CREATE TABLE jobs (
    id              TEXT PRIMARY KEY,
    delivery_id     TEXT NOT NULL REFERENCES deliveries (id),
    created_utc     TEXT NOT NULL,
    created_by      TEXT NOT NULL
) STRICT;
CREATE TABLE delivery_photos (
    delivery_id     TEXT NOT NULL REFERENCES deliveries (id),
    sha256          TEXT NOT NULL,
    file_name       TEXT NOT NULL,
    arrived_utc     TEXT NOT NULL,
    sent_by         TEXT NOT NULL,
    state           TEXT NOT NULL CHECK (state IN ('received', 'sorting', 'unsorted', 'waiting', 'measuring', 'measured', 'setAside')),
    manifest_json   TEXT,
    place_json      TEXT,
    piece_number    INTEGER,
    surface         TEXT,
    sorted_by       TEXT,
    tries           INTEGER NOT NULL DEFAULT 0,
    deaths          INTEGER NOT NULL DEFAULT 0,
    reason_json     TEXT,
    measurement_id  TEXT REFERENCES measurements (id),
    angle_low       REAL,
    angle_high      REAL,
    used_angle      REAL,
    finished_no     INTEGER,
    PRIMARY KEY (delivery_id, sha256)
) STRICT;
CREATE INDEX delivery_photos_by_state ON delivery_photos (delivery_id, state);
CREATE INDEX delivery_photos_by_piece ON delivery_photos (delivery_id, piece_number);
CREATE TABLE job_photos (
    job_id          TEXT NOT NULL REFERENCES jobs (id),
    delivery_id     TEXT NOT NULL,
    sha256          TEXT NOT NULL,
    PRIMARY KEY (job_id, sha256),
    FOREIGN KEY (delivery_id, sha256) REFERENCES delivery_photos (delivery_id, sha256)
) STRICT;
CREATE TABLE delivery_keys (
    client          TEXT NOT NULL,
    key             TEXT NOT NULL,
    content_sha256  TEXT NOT NULL,
    answer_id       TEXT NOT NULL,
    PRIMARY KEY (client, key)
) STRICT;
