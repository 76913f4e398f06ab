-- Measurements as answered, the keys they were asked with, and the shop's rule books. Never edit a step that was released: add one.
CREATE TABLE measurements (
    id              TEXT PRIMARY KEY,
    created_utc     TEXT NOT NULL,
    photo_sha256    TEXT NOT NULL,
    picture_sha256  TEXT NOT NULL,
    picture_type    TEXT NOT NULL,
    request_json    TEXT NOT NULL,
    measurement_json TEXT NOT NULL
) STRICT;
CREATE INDEX measurements_by_photo ON measurements (photo_sha256);
CREATE TABLE idempotency_keys (
    client          TEXT NOT NULL,
    key             TEXT NOT NULL,
    content_sha256  TEXT NOT NULL,
    measurement_id  TEXT NOT NULL REFERENCES measurements (id),
    PRIMARY KEY (client, key)
) STRICT;
CREATE TABLE rule_books (
    id              TEXT NOT NULL,
    version         INTEGER NOT NULL,
    created_utc     TEXT NOT NULL,
    created_by      TEXT NOT NULL,
    rule_book_json  TEXT NOT NULL,
    PRIMARY KEY (id, version)
) STRICT;
