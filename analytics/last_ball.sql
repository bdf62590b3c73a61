-- Question: which ball was hit last, and how many were hit that day?
-- Grain: one row, or none without a ball.
WITH numbered AS (
    SELECT
        event_id, day, session_id, club, carry_m, strike, struck_at_utc, device_number,
        row_number() OVER (
            PARTITION BY session_id ORDER BY struck_at_utc, device_number, event_id
        ) AS ball,
        count(*) OVER (PARTITION BY session_id) AS n_today,
        count_if(coalesce(strike = 'mishit', false)) OVER (PARTITION BY session_id)
            AS mishits_today
    FROM shots
    WHERE player_id = $player_id
)

SELECT
    event_id, ball, coalesce(club, '') AS club, carry_m,
    coalesce(strike = 'mishit', false) AS mishit, day, n_today, mishits_today
FROM numbered
ORDER BY struck_at_utc DESC NULLS LAST, ball DESC
LIMIT 1;
