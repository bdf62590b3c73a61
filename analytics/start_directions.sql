-- In which directions do a player's clean balls start, day by day?
-- Grain: one row per day with a start direction; degrees, + is right of the target.
SELECT
    session_id,
    count(*) AS n,
    avg(start_right_deg) AS mean_deg,
    var_samp(start_right_deg) AS variance
FROM shots
WHERE player_id = $player_id
    AND start_right_deg IS NOT NULL
    AND strike IS DISTINCT FROM 'mishit'
GROUP BY session_id
ORDER BY session_id;
