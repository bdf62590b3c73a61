-- Question: which clean balls has a player hit with a club, as speed and carry?
-- Grain: one row per ball. Set apart: what a coach marked, and what lies more than $reach off the
-- club's middle of ln carry − 1.95·ln speed, unless a coach called it clean.
WITH ball AS (
    SELECT
        event_id, strike, speed_mps, carry_m,
        ln(carry_m) - 1.95 * ln(speed_mps) AS r
    FROM in_play_club
    WHERE player_id = $player_id AND club = $club AND strike IS DISTINCT FROM 'mishit'
)

SELECT speed_mps, carry_m
FROM ball
WHERE strike = 'clean' OR abs(r - (SELECT median(r) FROM ball)) <= $reach
ORDER BY speed_mps, carry_m, event_id;
