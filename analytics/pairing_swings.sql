-- Which swings did the sensor see? Grain: one row per swing of $player_id with an instant.
SELECT
    import_id,
    event_id,
    epoch_us(swung_at_utc) / 1e6 AS time_s,
    sensor_day AS day,
    coalesce(peak_speed_mps, 'nan'::DOUBLE) AS peak_speed_mps,
    coalesce(backswing_s, 'nan'::DOUBLE) AS backswing_s,
    coalesce(downswing_s, 'nan'::DOUBLE) AS downswing_s
FROM swings
WHERE player_id = $player_id AND swung_at_utc IS NOT NULL
ORDER BY swung_at_utc, source_line;
