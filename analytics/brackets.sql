-- Question: which swings rehearsed each ball, which struck it, and how fast were they?
-- Grain: one row per swing attributed to a ball, in order of time. Each side is narrowed to the
-- player before the joins, which then run on event ids alone.
WITH paired AS (
    SELECT session_id, shot_event_id, swing_event_id, role, probability
    FROM pairs
    WHERE
        player_id = $player_id
        AND role IN ('strike', 'rehearse_long', 'rehearse_short', 'rehearse')
        AND probability >= $least_probability
),

swung AS MATERIALIZED (
    SELECT event_id, peak_speed_mps, swung_at_utc, import_id, source_line
    FROM swings
    WHERE player_id = $player_id AND peak_speed_mps > 0
),

struck AS MATERIALIZED (
    SELECT event_id, club FROM shots WHERE player_id = $player_id
),

source AS MATERIALIZED (
    SELECT import_id, source_name FROM imports WHERE player_id = $player_id
)

SELECT
    paired.session_id, paired.shot_event_id, paired.swing_event_id, paired.role,
    paired.probability, struck.club, swung.peak_speed_mps, swung.swung_at_utc,
    swung.import_id, swung.source_line, source.source_name
FROM paired
INNER JOIN swung ON swung.event_id = paired.swing_event_id
INNER JOIN struck ON struck.event_id = paired.shot_event_id
LEFT JOIN source ON source.import_id = swung.import_id
ORDER BY paired.session_id, swung.swung_at_utc, swung.event_id;
