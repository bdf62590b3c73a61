-- Why were rows of one import set aside? Grain: one row per column and reason.
SELECT
    coalesce("column", '') AS "column",
    code,
    count(*) AS n_rows,
    min(source_line) AS first_line
FROM stored_set_aside
WHERE import_id = $import_id
GROUP BY ALL
ORDER BY n_rows DESC, first_line;
