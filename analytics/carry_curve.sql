-- Question: what do a player's balls say of carry against speed, mishits set apart?
-- Grain: one row per player × club (× swing length when $by_swing_length) × session.
-- x is ln(speed / 10 m/s), r is ln carry less $exponent·x. The rule's mark: further than $cut
-- robust standard deviations from the player's middle r with that club. The robust deviation is
-- taken from the upper half, which fat and thin strikes leave alone, and thin data are drawn to
-- what is typical of all, or to $spread where fewer than 30 clubs are there to say.
-- `said_surface` says that a ball of the row states what it was struck from.
-- Rows come in a fixed order, so that the same balls give the same digits.
-- An absent swing length is '' inside, so that joins are by plain equality; sums of squares are
-- n times the population variances of the row.
WITH shot AS (
    SELECT
        player_id, club, session_id, loft_deg, surface IS NOT NULL AS said,
        CASE strike WHEN 'mishit' THEN -1 WHEN 'clean' THEN 1 ELSE 0 END::TINYINT AS strike,
        CASE WHEN $by_swing_length THEN swing_length ELSE '' END AS swing_length,
        ln(speed_mps / 10.0) AS x,
        ln(carry_m) - $exponent * ln(speed_mps / 10.0) AS r
    FROM query_table($strikes)
    WHERE NOT $by_swing_length OR swing_length IS NOT NULL
),

middle AS (
    SELECT
        player_id, club, swing_length,
        count(r) AS n,
        quantile_cont(r, [0.5, 0.75]) AS q
    FROM (
        SELECT
            player_id, club, swing_length,
            CASE WHEN strike >= 0 THEN r END AS r
        FROM shot
    )
    GROUP BY player_id, club, swing_length
),

typical AS (
    SELECT
        CASE
            WHEN count(*) >= 30 THEN sqrt(avg(((q[2] - q[1]) / 0.6745) ** 2))
            ELSE $spread
        END AS spread
    FROM middle
    WHERE n >= 4
),

bound AS MATERIALIZED (
    SELECT
        player_id, club, swing_length,
        coalesce(q[1], 0.0) AS r_middle,
        coalesce(
            $cut * sqrt((6 * spread ** 2 + n * ((q[2] - q[1]) / 0.6745) ** 2) / (6 + n)),
            $cut * spread
        ) AS reach
    FROM middle, typical
),

judged AS (
    SELECT
        shot.player_id, shot.club, shot.swing_length, shot.session_id, shot.loft_deg,
        shot.x, shot.r,
        shot.r - bound.r_middle AS off,
        CASE
            WHEN shot.strike = -1 THEN false
            WHEN shot.strike = 1 THEN true
            ELSE abs(shot.r - bound.r_middle) <= bound.reach
        END AS clean,
        shot.strike, shot.said
    FROM shot
    INNER JOIN bound USING (player_id, club, swing_length)
),

split AS (
    SELECT
        player_id, club, swing_length, session_id, loft_deg,
        CASE WHEN clean THEN x END AS x,
        CASE WHEN clean THEN r END AS r,
        CASE WHEN NOT clean THEN off END AS off,
        CASE WHEN strike = -1 THEN 1 END AS coach,
        said
    FROM judged
)

SELECT
    player_id, club,
    CASE WHEN $by_swing_length THEN swing_length END AS swing_length,
    session_id,
    count(r) AS n,
    avg(x) AS mean_x,
    avg(r) AS mean_r,
    var_pop(x) AS var_x,
    covar_pop(r, x) AS cov_xr,
    var_pop(r) AS var_r,
    min(x) AS x_low,
    max(x) AS x_high,
    max(loft_deg) AS loft_deg,
    count(coach) AS n_coach,
    count(off) - count(coach) AS n_rule,
    avg(off) AS off_mean,
    var_pop(off) AS off_variance,
    bool_or(said) AS said_surface
FROM split
GROUP BY player_id, club, swing_length, session_id
ORDER BY player_id, club, swing_length, session_id;
