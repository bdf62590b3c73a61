-- How did each sitting of a scored test go?
-- Grain: one row per sitting (attempt) of one player at one test.
SELECT
    scores.test,
    scores.attempt_id,
    min(CAST(timezone(coalesce(players.zone, 'UTC'), scores.scored_at_utc) AS DATE)) AS day,
    min(scores.scored_at_utc) AS started_at_utc,
    count(*) AS n_scores,
    count(DISTINCT scores.station) AS n_stations,
    sum(scores.strokes) AS strokes,
    sum(scores.points) AS points,
    count(*) FILTER (WHERE scores.hit) AS hits,
    count(scores.strokes) AS n_strokes,
    count(scores.points) AS n_points,
    count(scores.hit) AS n_hits
FROM scores
LEFT JOIN players USING (player_id)
WHERE scores.player_id = $player_id
    AND ($test IS NULL OR scores.test = $test)
GROUP BY scores.test, scores.attempt_id
ORDER BY scores.test, started_at_utc, scores.attempt_id;
