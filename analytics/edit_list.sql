-- Which corrections has a player's record, and who made them, when and why?
-- One row per correction, oldest first.
SELECT edit_id, edited_at_utc, edited_by, reason, action, target, target_id, value, import_id
FROM edits
ORDER BY edited_at_utc, edit_id;
