-- Which balls did a player strike, in the order they were struck?
-- One row per struck ball that is not excluded; corrections applied; unknown columns as JSON text.
SELECT
    shot.event_id,
    shot.session_id,
    shot.day,
    shot.* EXCLUDE (player_id, event_id, session_id, day, extra),
    CAST(to_json(shot.extra) AS VARCHAR) AS extra
FROM shots AS shot
ORDER BY coalesce(epoch_us(shot.struck_at_utc), 0), shot.event_id;
