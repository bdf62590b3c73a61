-- Question: which set-up did the coach note from which ball on, and how did the balls go?
-- Grain: one row per ball of the player, in order; `tags` is the latest note given at that ball.
WITH note AS (
    SELECT target_id AS event_id, arg_max(value, edited_at_utc) AS tags
    FROM edits
    WHERE player_id = $player_id AND action = 'setup' AND target = 'shots'
    GROUP BY target_id
)

SELECT
    shots.session_id, shots.day, shots.event_id, note.tags,
    row_number() OVER (
        PARTITION BY shots.session_id
        ORDER BY shots.struck_at_utc, shots.device_number, shots.event_id
    ) AS ball
FROM shots
LEFT JOIN note USING (event_id)
WHERE shots.player_id = $player_id
ORDER BY shots.day, shots.session_id, ball;
