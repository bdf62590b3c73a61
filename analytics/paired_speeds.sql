-- Question: how do the sensor's peak speeds and the launch device's club speeds go together?
-- Grain: one row per player × club × session with paired strikes, as sufficient statistics.
-- x is ln(club speed / 10 m/s), z is ln(peak speed / 10 m/s) less x, y is ln carry. A pair further
-- than $reach from the player's middle z with that club is a wrong pair or a wrong reading.
WITH strike AS (
    SELECT
        shots.player_id, shots.club, shots.session_id,
        ln(shots.club_speed_mps / 10.0) AS x,
        ln(swings.peak_speed_mps / shots.club_speed_mps) AS z,
        CASE
            WHEN shots.carry_m > 0 AND shots.strike IS DISTINCT FROM 'mishit'
                THEN ln(shots.carry_m)
        END AS y
    FROM pairs
    INNER JOIN shots
        ON shots.player_id = pairs.player_id AND shots.event_id = pairs.shot_event_id
    INNER JOIN swings
        ON swings.player_id = pairs.player_id AND swings.event_id = pairs.swing_event_id
    WHERE
        pairs.role = 'strike'
        AND pairs.probability >= 0.5
        AND shots.club_speed_mps > 0
        AND swings.peak_speed_mps > 0
        AND shots.club IS NOT NULL
),

middle AS (
    SELECT player_id, club, median(z) AS z, median(y - 1.95 * x) AS r
    FROM strike
    GROUP BY ALL
),

kept AS (
    SELECT
        strike.player_id, strike.club, strike.session_id, strike.x, strike.z,
        CASE WHEN abs(strike.y - 1.95 * strike.x - middle.r) <= 0.25 THEN strike.y END AS y
    FROM strike
    INNER JOIN middle USING (player_id, club)
    WHERE abs(strike.z - middle.z) <= $reach
)

SELECT
    player_id, club, session_id,
    count(*) AS n,
    avg(x) AS mean_x,
    avg(z) AS mean_z,
    regr_sxx(z, x) AS sxx,
    regr_sxy(z, x) AS sxz,
    regr_syy(z, x) AS szz,
    min(x) AS x_low,
    max(x) AS x_high,
    regr_count(y, x) AS n_three,
    regr_sxx(y, x) AS three_xx,
    regr_sxy(y, x) AS three_xy,
    regr_sxy(x + z, x) FILTER (y IS NOT NULL) AS three_xs,
    regr_sxy(y, x + z) AS three_sy
FROM kept
GROUP BY ALL
ORDER BY player_id, club, session_id;
