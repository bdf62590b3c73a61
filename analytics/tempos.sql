-- Question: how long were the backswing and downswing of each swing, and what was the swing?
-- Grain: one row per swing with both times that was paired with a ball, or rehearsed one; of a
-- day without any paired swing every swing, its role unknown and its number the order of the day.
WITH paired_days AS (
    SELECT DISTINCT swings.sensor_day
    FROM pairs
    INNER JOIN swings
        ON swings.player_id = pairs.player_id AND swings.event_id = pairs.swing_event_id
    WHERE pairs.player_id = $player_id AND pairs.role = 'strike'
),

struck AS (
    SELECT
        event_id, session_id, day, club, swing_length,
        row_number() OVER (
            PARTITION BY session_id ORDER BY struck_at_utc, device_number, event_id
        ) AS ball
    FROM shots
    WHERE player_id = $player_id
),

attributed AS (
    SELECT
        struck.session_id, struck.day, struck.ball, struck.club, struck.swing_length,
        struck.event_id AS shot_event_id, pairs.role, pairs.probability,
        swings.event_id, swings.swung_at_utc, swings.backswing_s, swings.downswing_s,
        swings.peak_speed_mps, swings.import_id, swings.source_line
    FROM pairs
    INNER JOIN swings
        ON swings.player_id = pairs.player_id AND swings.event_id = pairs.swing_event_id
    INNER JOIN struck ON struck.event_id = pairs.shot_event_id
    WHERE
        pairs.player_id = $player_id
        AND pairs.role IN ('strike', 'rehearse_long', 'rehearse_short', 'rehearse')
        AND pairs.probability >= $least_probability
),

alone AS (
    SELECT
        swings.player_id || ':' || strftime(swings.sensor_day, '%Y-%m-%d') AS session_id,
        swings.sensor_day AS day,
        row_number() OVER (
            PARTITION BY swings.sensor_day ORDER BY swings.swung_at_utc, swings.event_id
        ) AS ball,
        swings.club,
        NULL::VARCHAR AS swing_length,
        NULL::VARCHAR AS shot_event_id,
        'unknown' AS role,
        1.0 AS probability,
        swings.event_id, swings.swung_at_utc, swings.backswing_s, swings.downswing_s,
        swings.peak_speed_mps, swings.import_id, swings.source_line
    FROM swings
    ANTI JOIN paired_days USING (sensor_day)
    WHERE swings.player_id = $player_id
),

every AS (
    SELECT * FROM attributed
    UNION ALL
    SELECT * FROM alone
)

SELECT every.*, imports.source_name
FROM every
LEFT JOIN imports
    ON imports.player_id = $player_id AND imports.import_id = every.import_id
WHERE every.backswing_s > 0 AND every.downswing_s > 0
ORDER BY every.day, every.session_id, every.ball, every.swung_at_utc, every.event_id;
