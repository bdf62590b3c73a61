-- Question: what did the launch device and the sensor log of a player, and what is settled by hand?
-- Grain: one row per shot, per swing, and per correction of the pairing.
SELECT
    'shot' AS kind, event_id, import_id, session_id, struck_at_utc AS at_utc,
    ball_speed_mps AS speed_mps, club_speed_mps, carry_m,
    CAST(NULL AS DOUBLE) AS backswing_s, CAST(NULL AS DOUBLE) AS downswing_s,
    CAST(NULL AS VARCHAR) AS value
FROM shots_all
WHERE player_id = $player_id
UNION ALL
SELECT
    'swing', event_id, import_id, NULL, swung_at_utc,
    peak_speed_mps, NULL, NULL, backswing_s, downswing_s, NULL
FROM swings
WHERE player_id = $player_id
UNION ALL
SELECT action, target_id, import_id, NULL, edited_at_utc, NULL, NULL, NULL, NULL, NULL, value
FROM edits
WHERE player_id = $player_id AND action IN ('pin_pair', 'forbid_pair', 'clock_offset', 'role')
ORDER BY 1, 5, 2;
