-- How does each station of a test go over the sittings named?
-- Grain: one row per station of one player's test; the worth is strokes, points or hit (0/1).
SELECT
    station,
    any_value(station_text ORDER BY scored_at_utc DESC) AS station_text,
    count(*) AS n,
    avg(coalesce(strokes, points, CAST(hit AS DOUBLE))) AS mean,
    var_samp(coalesce(strokes, points, CAST(hit AS DOUBLE))) AS variance
FROM scores
WHERE player_id = $player_id
    AND test = $test
    AND list_contains($attempts, attempt_id)
GROUP BY station
ORDER BY station;
