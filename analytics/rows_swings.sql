-- Which swings of a player did the sensor see, in the order they were made by its clock?
-- One row per swing that is not excluded; unknown columns as JSON text.
SELECT
    swing.event_id,
    swing.sensor_day,
    swing.* EXCLUDE (player_id, event_id, sensor_day, extra),
    CAST(to_json(swing.extra) AS VARCHAR) AS extra
FROM swings AS swing
WHERE
    ($since IS NULL OR swing.swung_at_utc >= $since)
    AND ($until IS NULL OR swing.swung_at_utc < $until)
    AND ($club IS NULL OR swing.club = $club)
    AND (
        $after_us IS NULL
        OR coalesce(epoch_us(swing.swung_at_utc), 0) > $after_us
        OR (coalesce(epoch_us(swing.swung_at_utc), 0) = $after_us AND swing.event_id > $after_id)
    )
ORDER BY coalesce(epoch_us(swing.swung_at_utc), 0), swing.event_id
LIMIT $rows;
