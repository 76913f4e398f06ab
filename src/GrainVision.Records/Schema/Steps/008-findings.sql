-- Hand findings of pieces, by which they are found; what they say stands in the log alone. corrects: the finding that one takes the place of.
CREATE TABLE findings (
    number          INTEGER PRIMARY KEY REFERENCES log (number),
    piece           TEXT NOT NULL,
    kind            TEXT NOT NULL,
    corrects        INTEGER UNIQUE REFERENCES findings (number)
) STRICT;
CREATE INDEX findings_by_piece ON findings (piece, number, kind);
INSERT INTO findings (number, piece, kind)
    SELECT number, piece,
        CASE
            WHEN content ->> '$.body.is' IS NOT NULL THEN 'mark'
            WHEN content ->> '$.body.answer' IS NOT NULL THEN 'look'
            WHEN content ->> '$.body.quantity' IN ('worstInch', 'perInch') THEN 'rings'
            WHEN content ->> '$.body.quantity' IN ('ringAngle', 'leastRingAngle', 'greatestRingAngle') THEN 'ring-angle'
            WHEN content ->> '$.body.quantity' IN ('worstWindow', 'outerEighths', 'combinedSlope') THEN 'slope'
            WHEN content ->> '$.body.quantity' IN ('diameterMm', 'lengthMm', 'widthMm', 'edgeDistanceMm') THEN 'mark'
            ELSE 'look'
        END
    FROM log WHERE kind = 'handMeasurement' AND piece IS NOT NULL;
CREATE TABLE finding_keys (
    client          TEXT NOT NULL,
    key             TEXT NOT NULL,
    content_sha256  TEXT NOT NULL,
    first_number    INTEGER NOT NULL REFERENCES findings (number),
    last_number     INTEGER NOT NULL REFERENCES findings (number),
    PRIMARY KEY (client, key)
) STRICT;
CREATE TRIGGER findings_are_not_edited BEFORE UPDATE ON findings BEGIN SELECT RAISE(ABORT, 'A finding is corrected by a later one, never edited.'); END;
CREATE TRIGGER findings_are_not_deleted BEFORE DELETE ON findings BEGIN SELECT RAISE(ABORT, 'A finding is corrected by a later one, never edited.'); END;
