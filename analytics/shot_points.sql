-- Question: which balls stand behind a player's curves, and what did a coach say of each?
-- Grain: one row per ball that the curves count or set apart, in order of time: with a carry and a
-- speed, of the ball in play and off the surface in play. `level` is ln carry less what the usual
-- exponent gives for the speed, which the rule that sets mishits apart looks at.
SELECT
    shots.event_id, shots.import_id, shots.source_line, shots.day, shots.club, shots.swing_length,
    shots.club_speed_mps, shots.carry_m, shots.start_right_deg,
    coalesce(shots.strike, '') AS by_coach,
    ln(shots.carry_m) - $exponent * ln(shots.club_speed_mps / 10.0) AS level
FROM shots
INNER JOIN in_play_club AS counted
    ON counted.player_id = shots.player_id
    AND counted.event_id = shots.event_id
WHERE shots.player_id = $player_id
ORDER BY shots.struck_at_utc, shots.event_id;
