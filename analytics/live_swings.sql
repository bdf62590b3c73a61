-- Question: which swings did the sensor see last, by its own clock?
-- Grain: one row per swing, the last $most of the player, in order.
WITH last_ones AS (
    SELECT event_id, epoch(swung_at_utc) AS at_s, peak_speed_mps, backswing_s, downswing_s
    FROM swings
    WHERE player_id = $player_id AND swung_at_utc IS NOT NULL
    ORDER BY swung_at_utc DESC, event_id
    LIMIT $most
)

SELECT * FROM last_ones
ORDER BY at_s, event_id;
