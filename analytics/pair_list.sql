-- Question: what did the pairing make of each ball and each other swing of a session?
-- Grain: one row per ball of the session, and one per swing of it that struck no ball of it.
SELECT
    'ball' AS kind,
    shot.event_id AS shot_event_id,
    shot.device_number AS ball_number,
    strike.swing_event_id,
    swing.device_number AS swing_number,
    shot.struck_at_utc AS at_utc,
    'strike' AS role,
    strike.probability,
    CAST(count(rehearsal.swing_event_id) AS INTEGER) AS n_rehearsals
FROM shots AS shot
LEFT JOIN pairs AS strike
    ON strike.shot_event_id = shot.event_id AND strike.role = 'strike'
LEFT JOIN swings AS swing ON swing.event_id = strike.swing_event_id
LEFT JOIN pairs AS rehearsal
    ON rehearsal.shot_event_id = shot.event_id AND starts_with(rehearsal.role, 'rehearse')
WHERE shot.session_id = $session_id
GROUP BY ALL
UNION ALL
SELECT
    'swing', pair.shot_event_id, shot.device_number, pair.swing_event_id, swing.device_number,
    swing.swung_at_utc, pair.role, pair.probability, 0
FROM pairs AS pair
JOIN swings AS swing ON swing.event_id = pair.swing_event_id
LEFT JOIN shots AS shot ON shot.event_id = pair.shot_event_id
WHERE pair.session_id = $session_id AND pair.role <> 'strike'
ORDER BY kind, at_utc, swing_event_id, shot_event_id;
