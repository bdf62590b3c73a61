-- Which days has a player practised on, with how many balls, under which conditions?
-- One row per session (a player's local day), balls or only conditions; oldest first.
WITH balls AS (
    SELECT
        session_id,
        day,
        count(*) AS n_shots,
        count(*) FILTER (WHERE strike = 'mishit') AS n_mishits_by_coach,
        list(DISTINCT club ORDER BY club) FILTER (WHERE club IS NOT NULL) AS clubs,
        min(struck_at_utc) AS first_at_utc,
        max(struck_at_utc) AS last_at_utc
    FROM shots
    GROUP BY session_id, day
)

SELECT
    coalesce(balls.session_id, conditions.player_id || ':' || conditions.day) AS session_id,
    coalesce(balls.day, conditions.day) AS day,
    coalesce(balls.n_shots, 0) AS n_shots,
    coalesce(balls.n_mishits_by_coach, 0) AS n_mishits_by_coach,
    balls.clubs,
    balls.first_at_utc,
    balls.last_at_utc,
    conditions.place,
    conditions.green_speed_ft,
    conditions.slope_deg,
    conditions.fall_line_deg,
    conditions.wetness,
    conditions.surface,
    conditions.window_near_m,
    conditions.window_far_m,
    conditions.edge_m,
    conditions.hole_m
FROM balls
FULL JOIN sessions AS conditions ON conditions.day = balls.day
ORDER BY day NULLS FIRST, session_id;
