-- Question: what was the green like on the last day that anything was noted of?
-- Grain: one row, or none.
SELECT day, edge_m, hole_m, green_speed_ft, slope_deg, fall_line_deg
FROM sessions
WHERE player_id = $player_id
ORDER BY day DESC
LIMIT 1;
