-- Which first putts of a player are known, and did they drop?
-- Grain: one row per scored station with a leave above zero and its strokes to hole out.
SELECT
    leave_m,
    strokes = 2 AS holed
FROM scores
WHERE player_id = $player_id
    AND leave_m > 0
    AND strokes >= 2
ORDER BY scored_at_utc, station;
