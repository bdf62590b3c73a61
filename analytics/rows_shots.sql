-- Which balls did a player strike, in the order they were struck?
-- One row per struck ball that is not excluded; corrections applied; unknown columns as JSON text.
SELECT
    shot.event_id,
    shot.session_id,
    shot.day,
    shot.* EXCLUDE (player_id, event_id, session_id, day, extra),
    CAST(to_json(shot.extra) AS VARCHAR) AS extra
FROM shots AS shot
WHERE
    ($since IS NULL OR shot.struck_at_utc >= $since)
    AND ($until IS NULL OR shot.struck_at_utc < $until)
    AND ($club IS NULL OR shot.club = $club)
    AND (
        $after_us IS NULL
        OR coalesce(epoch_us(shot.struck_at_utc), 0) > $after_us
        OR (coalesce(epoch_us(shot.struck_at_utc), 0) = $after_us AND shot.event_id > $after_id)
    )
ORDER BY coalesce(epoch_us(shot.struck_at_utc), 0), shot.event_id
LIMIT $rows;
