-- Question: which rows of an import were set aside, and what would mend them?
-- Grain: one row per row set aside, in order of line, at most 200.
SELECT source_line, "column", value, reason, mend, raw_text
FROM stored_set_aside
WHERE import_id = $import_id
ORDER BY source_line
LIMIT 200;
