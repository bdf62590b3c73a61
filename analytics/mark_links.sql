-- Which struck ball does each mark belong to?
-- Grain: one row per mark of the player. A link that was said outranks the ball's number, and the
-- number outranks time alone (the last ball struck within three minutes before a mark without a
-- number). Of several balls with one number on a day the nearest in time is taken and counted.
-- A later mark of the same ball replaces the earlier one, measure by measure: what it leaves out
-- stands as marked before, and `replaced` is true on the earlier. Bearing and error go with the
-- distance that they were given with.
WITH candidates AS (
    SELECT
        marks.event_id AS mark_event_id,
        shots.event_id AS shot_event_id,
        shots.club,
        shots.carry_m,
        shots.strike,
        abs(date_diff('second', shots.struck_at_utc, marks.marked_at_utc)) AS apart_s,
        CASE
            WHEN marks.shot_event_id = shots.event_id THEN 'said'
            WHEN marks.ball_number = shots.device_number THEN 'number'
            ELSE 'time'
        END AS how
    FROM marks
    JOIN shots
        ON shots.player_id = marks.player_id
        AND CASE
            WHEN marks.shot_event_id IS NOT NULL THEN shots.event_id = marks.shot_event_id
            WHEN marks.ball_number IS NOT NULL
                THEN shots.day = marks.day AND shots.device_number = marks.ball_number
            ELSE shots.struck_at_utc BETWEEN marks.marked_at_utc - INTERVAL 3 MINUTE
                AND marks.marked_at_utc
        END
    WHERE marks.player_id = $player_id
),
chosen AS (
    SELECT *, count(*) OVER (PARTITION BY mark_event_id) AS n_candidates
    FROM candidates
    QUALIFY row_number() OVER (
        PARTITION BY mark_event_id ORDER BY apart_s NULLS LAST, shot_event_id
    ) = 1
),
measures AS (
    SELECT
        *,
        CASE WHEN leave_m IS NOT NULL THEN struct_pack(
            leave_m := leave_m, bearing := leave_bearing_deg, error := leave_error_m
        ) END AS finish,
        CASE WHEN land_past_edge_m IS NOT NULL THEN struct_pack(
            past_edge_m := land_past_edge_m, error := land_error_m
        ) END AS landing
    FROM marks
    WHERE player_id = $player_id
)
SELECT
    marks.event_id AS mark_event_id,
    marks.session_id,
    marks.day,
    marks.ball_number,
    marks.marked_at_utc,
    (last_value(marks.landing IGNORE NULLS) OVER so_far).past_edge_m AS land_past_edge_m,
    last_value(marks.land_side_m IGNORE NULLS) OVER so_far AS land_side_m,
    (last_value(marks.landing IGNORE NULLS) OVER so_far).error AS land_error_m,
    (last_value(marks.finish IGNORE NULLS) OVER so_far).leave_m AS leave_m,
    (last_value(marks.finish IGNORE NULLS) OVER so_far).bearing AS leave_bearing_deg,
    (last_value(marks.finish IGNORE NULLS) OVER so_far).error AS leave_error_m,
    marks.method,
    chosen.shot_event_id,
    chosen.club,
    chosen.carry_m,
    chosen.strike,
    chosen.how,
    chosen.apart_s,
    coalesce(chosen.n_candidates, 0) AS n_candidates,
    row_number() OVER (
        PARTITION BY coalesce(chosen.shot_event_id, marks.event_id)
        ORDER BY marks.marked_at_utc DESC, marks.event_id
    ) > 1 AS replaced,
    sessions.green_speed_ft,
    sessions.slope_deg,
    sessions.fall_line_deg,
    sessions.wetness,
    sessions.place
FROM measures AS marks
LEFT JOIN chosen ON chosen.mark_event_id = marks.event_id
LEFT JOIN sessions ON sessions.player_id = marks.player_id AND sessions.day = marks.day
WINDOW so_far AS (
    PARTITION BY coalesce(chosen.shot_event_id, marks.event_id)
    ORDER BY marks.marked_at_utc NULLS FIRST, marks.event_id DESC
    ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW
)
ORDER BY marks.marked_at_utc, marks.ball_number, marks.event_id;
