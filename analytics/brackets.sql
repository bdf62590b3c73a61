-- Question: which swings rehearsed each ball, which struck it, and how fast were they?
-- Grain: one row per swing attributed to a ball, in order of time.
SELECT
    pairs.session_id, pairs.shot_event_id, swings.event_id AS swing_event_id, pairs.role,
    pairs.probability, shots.club, swings.peak_speed_mps, swings.swung_at_utc,
    swings.import_id, swings.source_line, imports.source_name
FROM pairs
INNER JOIN swings
    ON swings.player_id = pairs.player_id AND swings.event_id = pairs.swing_event_id
INNER JOIN shots
    ON shots.player_id = pairs.player_id AND shots.event_id = pairs.shot_event_id
LEFT JOIN imports
    ON imports.player_id = swings.player_id AND imports.import_id = swings.import_id
WHERE
    pairs.player_id = $player_id
    AND pairs.role IN ('strike', 'rehearse_long', 'rehearse_short', 'rehearse')
    AND pairs.probability >= $least_probability
    AND swings.peak_speed_mps > 0
ORDER BY pairs.session_id, swings.swung_at_utc, swings.event_id;
