-- What did a person say about pairs? Grain: one row per pin, forbidden pair or clock offset; the
-- newest word on the same target and value counts.
SELECT action, target_id, value, max(edited_at_utc) AS said_at
FROM edits
WHERE player_id = $player_id AND action IN ('pin_pair', 'forbid_pair', 'clock_offset')
GROUP BY action, target_id, value
ORDER BY said_at;
