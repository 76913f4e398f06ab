-- A photo's state is read off what is recorded of it: its place, its measurement, why there is none, whether a process has it in hand. How often a step was
-- tried is the job engine's to know. in_hand: written before a process works on the photo, taken off after it; needs_place: the reason is that nobody knows
-- where the photo belongs.
ALTER TABLE delivery_photos ADD COLUMN in_hand INTEGER NOT NULL DEFAULT 0;
ALTER TABLE delivery_photos ADD COLUMN needs_place INTEGER NOT NULL DEFAULT 0;
UPDATE delivery_photos SET in_hand = state IN ('sorting', 'measuring'), needs_place = state = 'unsorted';
DROP INDEX delivery_photos_by_state;
ALTER TABLE delivery_photos DROP COLUMN state;
ALTER TABLE delivery_photos DROP COLUMN tries;
CREATE INDEX delivery_photos_open ON delivery_photos (delivery_id) WHERE measurement_id IS NULL AND reason_json IS NULL;
