-- Question: which balls stand behind a player's curves, and what became of each?
-- Grain: one row per ball with a carry and a speed, in order of time; `level` is ln carry less the
-- player's own middle with that club; `far_off` is the rule's mark of a mishit.
WITH shot AS (
    SELECT
        event_id, import_id, source_line, day, club, swing_length, strike, struck_at_utc,
        club_speed_mps, carry_m, start_right_deg,
        ln(carry_m) - $exponent * ln(club_speed_mps / 10.0) AS level
    FROM shots
    WHERE player_id = $player_id AND carry_m > 0 AND club_speed_mps > 0 AND club IS NOT NULL
),

middle AS (
    SELECT club, quantile_cont(level, [0.25, 0.5, 0.75]) AS q, count(*) AS n
    FROM shot
    GROUP BY club
)

SELECT
    shot.event_id, shot.import_id, shot.source_line, shot.day, shot.club, shot.swing_length,
    shot.club_speed_mps, shot.carry_m, shot.start_right_deg,
    coalesce(shot.strike, '') AS by_coach,
    abs(shot.level - middle.q[2])
    > $cut * sqrt((6 * 0.07 ** 2 + middle.n * ((middle.q[3] - middle.q[2]) / 0.6745) ** 2)
        / (6 + middle.n)) AS far_off
FROM shot
INNER JOIN middle USING (club)
WHERE $club IS NULL OR shot.club = $club
ORDER BY shot.struck_at_utc, shot.event_id;
