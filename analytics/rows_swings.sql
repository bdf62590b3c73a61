-- Which swings of a player did the sensor see, in the order they were made by its clock?
-- One row per swing that is not excluded; unknown columns as JSON text.
SELECT
    swing.event_id,
    swing.sensor_day,
    swing.* EXCLUDE (player_id, event_id, sensor_day, extra),
    CAST(to_json(swing.extra) AS VARCHAR) AS extra
FROM swings AS swing
ORDER BY coalesce(epoch_us(swing.swung_at_utc), 0), swing.event_id;
