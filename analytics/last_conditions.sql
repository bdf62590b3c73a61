-- What was the green like on the last day whose conditions were noted?
-- Grain: one row, or none.
SELECT
    place,
    green_speed_ft,
    slope_deg,
    wetness,
    window_near_m,
    window_far_m
FROM sessions
WHERE player_id = $player_id
ORDER BY day DESC
LIMIT 1;
