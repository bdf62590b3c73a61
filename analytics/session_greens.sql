-- What was the green like on each day of a player?
-- Grain: one row per day whose green speed was noted.
SELECT
    player_id || ':' || strftime(day, '%Y-%m-%d') AS session_id,
    green_speed_ft,
    coalesce(slope_deg, 0) AS slope_deg,
    coalesce(fall_line_deg, 0) AS fall_line_deg,
    wetness
FROM sessions
WHERE player_id = $player_id
    AND green_speed_ft IS NOT NULL
ORDER BY day;
