-- Question: how much is there of a player, and how many balls were struck on the latest day?
-- Grain: one row.
WITH days AS (
    SELECT session_id, day, count(*) AS balls
    FROM shots
    WHERE player_id = $player_id
    GROUP BY session_id, day
)

SELECT
    any_value(players.display_name) AS display_name,
    any_value(players.handedness) AS handedness,
    any_value(players.age_band) AS age_band,
    coalesce(sum(days.balls), 0)::BIGINT AS n_shots,
    count(days.session_id) AS n_sessions,
    (SELECT count(*) FROM swings WHERE player_id = $player_id) AS n_swings,
    min(days.day) AS first_day,
    max(days.day) AS last_day,
    coalesce(arg_max(days.balls, days.day), 0) AS balls_last_day
FROM (SELECT 1) AS one
LEFT JOIN players ON players.player_id = $player_id
LEFT JOIN days ON true;
