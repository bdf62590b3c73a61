-- Question: which balls stand behind a player's curves, and what did a coach say of each?
-- Grain: one row per ball with a carry and a speed, in order of time; `level` is ln carry less what
-- the usual exponent gives for the speed, which the rule that sets mishits apart looks at.
SELECT
    event_id, import_id, source_line, day, club, swing_length, club_speed_mps, carry_m,
    start_right_deg,
    coalesce(strike, '') AS by_coach,
    ln(carry_m) - $exponent * ln(club_speed_mps / 10.0) AS level
FROM shots
WHERE player_id = $player_id AND carry_m > 0 AND club_speed_mps > 0 AND club IS NOT NULL
ORDER BY struck_at_utc, event_id;
