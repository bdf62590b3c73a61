-- Question: where did a player's balls finish around the hole, and was the green wet?
-- Grain: one row per mark with a finish, in order of time; holed balls have leave_m 0.
SELECT
    marks.event_id, marks.day, marks.session_id, marks.ball_number,
    marks.leave_m, marks.leave_bearing_deg,
    coalesce(sessions.wetness = 'wet', false) AS wet
FROM marks
LEFT JOIN sessions ON sessions.player_id = marks.player_id AND sessions.day = marks.day
WHERE
    marks.player_id = $player_id
    AND marks.leave_m IS NOT NULL
    AND (marks.leave_bearing_deg IS NOT NULL OR marks.leave_m = 0)
ORDER BY marks.marked_at_utc, marks.ball_number, marks.event_id;
