-- Question: what is paired, the tail just played included?
-- Grain: one row per attributed swing; swings of the tail count as the tail says.
CREATE OR REPLACE TEMP VIEW pairs AS
SELECT * FROM stored_pairs
WHERE swing_event_id NOT IN (SELECT swing_event_id FROM tail_pairs)
UNION ALL BY NAME
SELECT * FROM tail_pairs;
