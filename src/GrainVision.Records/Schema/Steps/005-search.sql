-- Indexes that answer several filters at once without a look at the rows: at a million decisions "who never accepted" walks hundreds of thousands
-- of entries of one index (tens of ms), not of the table (seconds).
DROP INDEX decisions_by_use;
DROP INDEX decisions_by_verdict;
DROP INDEX decisions_by_person;
DROP INDEX decisions_by_species;
CREATE INDEX decisions_by_person ON decisions (person, number, species, rule_book, verdict);
CREATE INDEX decisions_by_species ON decisions (species, number, rule_book, verdict) WHERE species IS NOT NULL;
CREATE INDEX decisions_by_use ON decisions (rule_book, number, verdict);
CREATE INDEX decisions_by_verdict ON decisions (verdict, number);

CREATE TABLE limits_of_decisions (
    limit_id        TEXT NOT NULL,
    number          INTEGER NOT NULL REFERENCES decisions (number),
    person          TEXT NOT NULL,
    species         TEXT,
    rule_book       TEXT NOT NULL,
    verdict         TEXT NOT NULL,
    PRIMARY KEY (limit_id, number)
) STRICT, WITHOUT ROWID;
INSERT INTO limits_of_decisions (limit_id, number, person, species, rule_book, verdict)
    SELECT l.limit_id, l.number, d.person, d.species, d.rule_book, d.verdict FROM decision_limits l JOIN decisions d ON d.number = l.number;
DROP TABLE decision_limits;
ALTER TABLE limits_of_decisions RENAME TO decision_limits;
CREATE TRIGGER decision_limits_are_not_edited BEFORE UPDATE ON decision_limits BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
CREATE TRIGGER decision_limits_are_not_deleted BEFORE DELETE ON decision_limits BEGIN SELECT RAISE(ABORT, 'A decision is superseded, never edited.'); END;
