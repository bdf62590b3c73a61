-- Question: on which local day was each of a player's sessions?
-- Grain: one row per session with balls of a known instant.
SELECT session_id, min(day) AS day
FROM shots
WHERE player_id = $player_id AND day IS NOT NULL
GROUP BY session_id
ORDER BY day;
