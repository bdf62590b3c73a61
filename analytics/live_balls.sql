-- Question: which balls were struck last?
-- Grain: one row per ball of the player's latest session, the last $most of them, in order.
WITH latest AS (
    SELECT session_id
    FROM shots
    WHERE player_id = $player_id AND struck_at_utc IS NOT NULL
    ORDER BY struck_at_utc DESC
    LIMIT 1
),

counted AS (
    SELECT
        event_id, session_id, struck_at_utc, ball_speed_mps, club_speed_mps, carry_m,
        epoch(struck_at_utc) AS at_s,
        row_number() OVER (ORDER BY struck_at_utc, device_number, event_id) AS ball,
        count(*) OVER () AS balls
    FROM shots
    WHERE player_id = $player_id AND session_id = (SELECT session_id FROM latest)
)

SELECT * FROM counted
WHERE ball > balls - $most
ORDER BY ball;
