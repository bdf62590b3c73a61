-- Question: where did each ball of a player start, land and finish, and where was it meant to?
-- Grain: one row per struck ball with a carry (the device's, else the mark's), in order of time.
-- `aimed` says that the ball was of the club and swing length most hit that day; other balls
-- (a ladder, a warm-up) were not meant for the window. The rule's mishit is a ball further than
-- $cut robust standard deviations from the middle of its kind, the deviation taken from the upper
-- half; `carry_residual_ln` is ln carry against that middle at the club's speed. Of two marks of a
-- ball the later counts.
WITH marked AS (
    SELECT
        shots.*,
        row_number() OVER (
            PARTITION BY shots.session_id
            ORDER BY shots.struck_at_utc, shots.device_number, shots.event_id
        ) AS ball,
        coalesce(shots.lie_slope_deg, sessions.lie_slope_deg) AS slope_of_lie_deg,
        sessions.window_near_m, sessions.window_far_m, sessions.gate_width_m,
        sessions.gate_distance_m, sessions.edge_m, sessions.hole_m, sessions.fall_line_deg,
        sessions.wetness
    FROM shots
    LEFT JOIN sessions ON sessions.player_id = shots.player_id AND sessions.day = shots.day
    WHERE shots.player_id = $player_id
),

noted AS MATERIALIZED (
    SELECT * FROM marks WHERE player_id = $player_id
),

linked AS (
    SELECT marked.event_id, noted.* EXCLUDE (event_id)
    FROM marked
    INNER JOIN noted ON noted.shot_event_id = marked.event_id
    UNION ALL
    SELECT marked.event_id, noted.* EXCLUDE (event_id)
    FROM marked
    INNER JOIN noted
        ON noted.session_id = marked.session_id
        AND noted.ball_number = coalesce(marked.device_number, marked.ball)
    WHERE noted.shot_event_id IS NULL
),

mark AS (
    SELECT
        event_id,
        arg_max(land_past_edge_m, coalesce(marked_at_utc, 'epoch'::TIMESTAMPTZ))
            AS land_past_edge_m,
        arg_max(land_side_m, coalesce(marked_at_utc, 'epoch'::TIMESTAMPTZ)) AS land_side_m,
        arg_max(leave_m, coalesce(marked_at_utc, 'epoch'::TIMESTAMPTZ)) AS leave_m,
        arg_max(leave_bearing_deg, coalesce(marked_at_utc, 'epoch'::TIMESTAMPTZ))
            AS leave_bearing_deg
    FROM linked
    GROUP BY event_id
),

landed AS (
    SELECT
        marked.* EXCLUDE (carry_m, side_m),
        coalesce(marked.carry_m, marked.edge_m + mark.land_past_edge_m) AS carry_m,
        coalesce(marked.side_m, mark.land_side_m) AS side_m,
        CASE
            WHEN marked.carry_m IS NOT NULL THEN 'device'
            WHEN mark.land_past_edge_m IS NOT NULL THEN 'mark'
        END AS carry_from,
        mark.leave_m, mark.leave_bearing_deg,
        count(*) OVER (
            PARTITION BY marked.session_id, marked.club, marked.swing_length
        ) AS of_its_kind
    FROM marked
    LEFT JOIN mark USING (event_id)
),

kinds AS (
    SELECT
        *,
        rank() OVER (
            PARTITION BY session_id ORDER BY of_its_kind DESC, club, swing_length
        ) = 1 AS aimed,
        CASE
            WHEN club_speed_mps > 0 THEN concat_ws('/', 'speed', club)
            ELSE concat_ws('/', 'carry', session_id, club, swing_length)
        END AS kind,
        ln(carry_m) - CASE
            WHEN club_speed_mps > 0 THEN $exponent * ln(club_speed_mps / 10.0) ELSE 0
        END AS r
    FROM landed
    WHERE carry_m > 0
),

middle AS (
    SELECT kind, count(*) AS n, quantile_cont(r, [0.5, 0.75]) AS q
    FROM kinds
    WHERE strike IS DISTINCT FROM 'mishit'
    GROUP BY kind
),

judged AS (
    SELECT
        kinds.*,
        r - q[1] AS carry_residual_ln,
        abs(r - q[1]) > $cut * sqrt(
            (6 * $spread ** 2 + n * ((q[2] - q[1]) / 0.6745) ** 2) / (6 + n)
        ) AS odd
    FROM kinds
    LEFT JOIN middle USING (kind)
)

SELECT
    judged.session_id, judged.day, judged.event_id, judged.ball, judged.club,
    judged.swing_length, judged.carry_m, judged.carry_from, judged.side_m, judged.roll_m,
    judged.total_m, judged.start_right_deg, judged.ball_to_club_ratio, judged.attack_deg,
    judged.slope_of_lie_deg, judged.carry_residual_ln, judged.aimed,
    coalesce(judged.strike = 'mishit', odd AND judged.strike IS NULL, false) AS mishit,
    judged.strike = 'mishit' AS mishit_by_coach,
    judged.window_near_m, judged.window_far_m, judged.gate_width_m, judged.gate_distance_m,
    judged.edge_m, judged.hole_m, judged.fall_line_deg, judged.wetness,
    judged.leave_m, judged.leave_bearing_deg,
    judged.import_id, judged.source_line, imports.source_name, players.handedness
FROM judged
LEFT JOIN players USING (player_id)
LEFT JOIN imports USING (player_id, import_id)
ORDER BY judged.day, judged.session_id, judged.ball;
