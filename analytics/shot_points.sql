-- Question: which balls stand behind a player's curves, and what became of each?
-- Grain: one row per ball with a carry and a speed, in order of time; `level` is ln carry less the
-- player's own middle with that club; `far_off` is the rule's mark of a mishit, as `carry_curve.sql`
-- makes it: from the upper half of the balls that the coach did not mark.
WITH shot AS (
    SELECT
        event_id, import_id, source_line, day, club, swing_length, strike, struck_at_utc,
        club_speed_mps, carry_m, start_right_deg,
        ln(carry_m) - $exponent * ln(club_speed_mps / 10.0) AS level
    FROM shots
    WHERE player_id = $player_id AND carry_m > 0 AND club_speed_mps > 0 AND club IS NOT NULL
),

middle AS (
    SELECT club, quantile_cont(level, [0.5, 0.75]) AS q, count(*) AS n
    FROM shot
    WHERE strike IS DISTINCT FROM 'mishit'
    GROUP BY club
)

SELECT
    shot.event_id, shot.import_id, shot.source_line, shot.day, shot.club, shot.swing_length,
    shot.club_speed_mps, shot.carry_m, shot.start_right_deg,
    coalesce(shot.strike, '') AS by_coach,
    coalesce(
        abs(shot.level - middle.q[1])
        > $cut * sqrt((6 * $spread ** 2 + middle.n * ((middle.q[2] - middle.q[1]) / 0.6745) ** 2)
            / (6 + middle.n)),
        false
    ) AS far_off
FROM shot
LEFT JOIN middle USING (club)
ORDER BY shot.struck_at_utc, shot.event_id;
