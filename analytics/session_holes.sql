-- Question: how far were the hole and the green's edge on each day of a player?
-- Grain: one row per day with conditions noted.
SELECT
    player_id || ':' || strftime(day, '%Y-%m-%d') AS session_id,
    hole_m,
    edge_m
FROM sessions
WHERE player_id = $player_id
ORDER BY day;
