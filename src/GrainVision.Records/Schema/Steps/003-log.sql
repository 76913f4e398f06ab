-- The log and what is searched in it. The triggers are a second lock, against slips: who can write to the file can also drop them, and only
-- the chain and a checkpoint kept elsewhere show that.
CREATE TABLE log (
    number          INTEGER PRIMARY KEY,
    previous_sha256 TEXT NOT NULL,
    content_sha256  TEXT NOT NULL,
    sha256          TEXT NOT NULL,
    content         TEXT NOT NULL,
    at_utc          TEXT NOT NULL,
    kind            TEXT NOT NULL,
    who             TEXT NOT NULL,
    delivery        TEXT,
    piece           TEXT,
    measurement     TEXT,
    decision        TEXT,
    rule_book       TEXT
) STRICT;
CREATE INDEX log_by_time ON log (at_utc, number);
CREATE INDEX log_by_kind ON log (kind, number);
CREATE INDEX log_by_who ON log (who, number);
CREATE INDEX log_by_delivery ON log (delivery, number) WHERE delivery IS NOT NULL;
CREATE INDEX log_by_piece ON log (piece, number) WHERE piece IS NOT NULL;
CREATE INDEX log_by_measurement ON log (measurement, number) WHERE measurement IS NOT NULL;
CREATE INDEX log_by_decision ON log (decision, number) WHERE decision IS NOT NULL;
CREATE INDEX log_by_rule_book ON log (rule_book, number) WHERE rule_book IS NOT NULL;
CREATE TRIGGER log_is_not_edited BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'The log is only added to.'); END;
CREATE TRIGGER log_is_not_deleted BEFORE DELETE ON log BEGIN SELECT RAISE(ABORT, 'The log is only added to.'); END;
CREATE TRIGGER log_has_no_gaps BEFORE INSERT ON log
    WHEN NEW.number IS NOT (SELECT COALESCE(MAX(number), 0) + 1 FROM log)
    BEGIN SELECT RAISE(ABORT, 'The log has no gaps.'); END;

CREATE TABLE decisions (
    number          INTEGER PRIMARY KEY REFERENCES log (number),
    id              TEXT NOT NULL UNIQUE,
    piece           TEXT NOT NULL,
    rule_book       TEXT NOT NULL,
    verdict         TEXT NOT NULL,
    person          TEXT NOT NULL,
    delivery        TEXT,
    species         TEXT,
    supersedes      TEXT UNIQUE REFERENCES decisions (id)
) STRICT;
CREATE INDEX decisions_by_piece ON decisions (piece, number);
CREATE INDEX decisions_by_use ON decisions (rule_book, number);
CREATE INDEX decisions_by_verdict ON decisions (verdict, number);
CREATE INDEX decisions_by_person ON decisions (person, number);
CREATE INDEX decisions_by_delivery ON decisions (delivery, number) WHERE delivery IS NOT NULL;
CREATE INDEX decisions_by_species ON decisions (species, number) WHERE species IS NOT NULL;
CREATE TABLE decision_limits (
    limit_id        TEXT NOT NULL,
    number          INTEGER NOT NULL REFERENCES decisions (number),
    PRIMARY KEY (limit_id, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE decision_keys (
    client          TEXT NOT NULL,
    key             TEXT NOT NULL,
    content_sha256  TEXT NOT NULL,
    decision        TEXT NOT NULL REFERENCES decisions (id),
    PRIMARY KEY (client, key)
) STRICT;
CREATE TRIGGER decisions_are_not_edited BEFORE UPDATE ON decisions BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
CREATE TRIGGER decisions_are_not_deleted BEFORE DELETE ON decisions BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
CREATE TRIGGER decision_limits_are_not_edited BEFORE UPDATE ON decision_limits BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
CREATE TRIGGER decision_limits_are_not_deleted BEFORE DELETE ON decision_limits BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
CREATE TRIGGER measurements_are_not_edited BEFORE UPDATE ON measurements BEGIN SELECT RAISE(ABORT, 'Measurements are only added to.'); END;
CREATE TRIGGER measurements_are_not_deleted BEFORE DELETE ON measurements BEGIN SELECT RAISE(ABORT, 'Measurements are only added to.'); END;
CREATE TRIGGER rule_books_are_not_edited BEFORE UPDATE ON rule_books BEGIN SELECT RAISE(ABORT, 'A rule book gets a new version.'); END;
CREATE TRIGGER rule_books_are_not_deleted BEFORE DELETE ON rule_books BEGIN SELECT RAISE(ABORT, 'A rule book gets a new version.'); END;
