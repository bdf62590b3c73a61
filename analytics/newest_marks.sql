-- Question: which marks were entered last?
-- Grain: one row per mark, the newest first, at most 24.
SELECT
    ball_number, marked_at_utc, day, land_past_edge_m, land_side_m, leave_m, leave_bearing_deg,
    import_id, source_line
FROM marks
WHERE player_id = $player_id
ORDER BY marked_at_utc DESC, ball_number DESC
LIMIT 24;
