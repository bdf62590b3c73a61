-- Question: what was noted of a day of practice?
-- Grain: one row, or none.
SELECT
    place, green_speed_ft, slope_deg, fall_line_deg, wetness, window_near_m, window_far_m,
    gate_width_m, gate_distance_m, edge_m, hole_m, lie_slope_deg, ball, surface, note
FROM sessions
WHERE player_id = $player_id AND day = CAST($day AS DATE);
