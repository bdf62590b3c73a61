-- Question: how far did each ball of a player carry, and how far did it then run?
-- Grain: one row per struck ball with a carry and a run of its own (roll, or total less carry).
SELECT
    shots.event_id,
    shots.club,
    shots.session_id,
    shots.carry_m,
    coalesce(shots.roll_m, shots.total_m - shots.carry_m) AS run_m,
    sessions.green_speed_ft,
    sessions.wetness,
    shots.strike IS NOT DISTINCT FROM 'mishit' AS mishit
FROM shots
LEFT JOIN sessions ON sessions.player_id = shots.player_id AND sessions.day = shots.day
WHERE
    shots.player_id = $player_id
    AND shots.club IS NOT NULL
    AND shots.carry_m > 0
    AND coalesce(shots.roll_m, shots.total_m - shots.carry_m) IS NOT NULL
ORDER BY shots.club, shots.session_id, shots.event_id;
