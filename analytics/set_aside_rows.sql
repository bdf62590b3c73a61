-- Question: which rows of an import were set aside, and what would mend them?
-- Grain: one row per row set aside, in order of line, at most 200.
-- Of another player's row only the line is told: whoever reads may not see that player.
SELECT
    source_line,
    "column",
    CASE WHEN code <> 'other_player' THEN value END AS value,
    reason,
    mend
FROM stored_set_aside
WHERE import_id = $import_id
ORDER BY source_line
LIMIT 200;
