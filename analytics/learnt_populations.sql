-- Question: which balls, swings and pairs is a population learnt from?
-- Grain: as in the views of the same names, read once: every kind of curve asks for them again.
CREATE OR REPLACE TEMP TABLE held_shots AS
SELECT
    player_id, event_id, club, swing_length, session_id, day, loft_deg, strike, carry_m,
    club_speed_mps, ball_speed_mps, surface, struck_at_utc
FROM shots
WHERE carry_m > 0 AND club IS NOT NULL;

CREATE OR REPLACE TEMP TABLE held_pairs AS
SELECT player_id, shot_event_id, swing_event_id, role, probability
FROM pairs;

CREATE OR REPLACE TEMP TABLE held_swings AS
SELECT player_id, event_id, peak_speed_mps
FROM swings
WHERE peak_speed_mps > 0;

CREATE OR REPLACE TEMP VIEW shots AS SELECT * FROM held_shots;

CREATE OR REPLACE TEMP VIEW pairs AS SELECT * FROM held_pairs;

CREATE OR REPLACE TEMP VIEW swings AS SELECT * FROM held_swings;
