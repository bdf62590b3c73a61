-- Question: what do a player's balls say of carry against speed, mishits set apart?
-- Grain: one row per player × club (× swing length when $by_swing_length) × session.
-- x is ln(speed / 10 m/s), r is ln carry less $exponent·x. The rule's mark: further than $cut
-- robust standard deviations from the player's middle r with that club. The robust deviation is
-- taken from the upper half, which fat and thin strikes leave alone, and thin data are drawn to
-- what is typical of all, or to $spread where fewer than 30 clubs are there to say.
WITH shot AS (
    SELECT
        player_id, club, session_id, loft_deg, strike, speed_mps,
        CASE WHEN $by_swing_length THEN swing_length END AS swing_length,
        ln(speed_mps / 10.0) AS x,
        ln(carry_m) - $exponent * ln(speed_mps / 10.0) AS r
    FROM query_table($strikes)
    WHERE NOT $by_swing_length OR swing_length IS NOT NULL
),

middle AS (
    SELECT
        player_id, club, swing_length,
        count(*) AS n,
        quantile_cont(r, [0.5, 0.75]) AS q
    FROM shot
    WHERE strike IS DISTINCT FROM 'mishit'
    GROUP BY ALL
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

bound AS (
    SELECT
        player_id, club, swing_length,
        q[1] AS r_middle,
        $cut * sqrt(
            (6 * spread ** 2 + n * ((q[2] - q[1]) / 0.6745) ** 2) / (6 + n)
        ) AS reach
    FROM middle, typical
),

judged AS (
    SELECT
        shot.*,
        r - r_middle AS off,
        strike = 'mishit' AS by_coach,
        strike IS NULL AND abs(r - r_middle) > reach AS by_rule
    FROM shot
    LEFT JOIN bound
        ON bound.player_id = shot.player_id
        AND bound.club = shot.club
        AND bound.swing_length IS NOT DISTINCT FROM shot.swing_length
),

split AS (
    SELECT
        *,
        coalesce(by_coach, false) AS coach,
        coalesce(by_rule, false) AND NOT coalesce(by_coach, false) AS rule
    FROM judged
)

SELECT
    player_id, club, swing_length, session_id,
    count(*) FILTER (NOT coach AND NOT rule) AS n,
    avg(x) FILTER (NOT coach AND NOT rule) AS mean_x,
    avg(r) FILTER (NOT coach AND NOT rule) AS mean_r,
    regr_sxx(r, x) FILTER (NOT coach AND NOT rule) AS sxx,
    regr_sxy(r, x) FILTER (NOT coach AND NOT rule) AS sxr,
    regr_syy(r, x) FILTER (NOT coach AND NOT rule) AS srr,
    min(speed_mps) FILTER (NOT coach AND NOT rule) AS speed_low,
    max(speed_mps) FILTER (NOT coach AND NOT rule) AS speed_high,
    max(loft_deg) AS loft_deg,
    count(*) FILTER (coach) AS n_coach,
    count(*) FILTER (rule) AS n_rule,
    avg(off) FILTER (coach OR rule) AS off_mean,
    var_pop(off) FILTER (coach OR rule) AS off_variance
FROM split
GROUP BY player_id, club, swing_length, session_id;
