-- What do the values of one import look like, column by column?
-- Grain: one row per numeric column of shots and swings that the import fills at least once.
WITH
measured AS (
    SELECT CAST(COLUMNS('.*_(m|mps|deg|rpm|s|ratio|share)$') AS DOUBLE)
    FROM stored_shots
    WHERE import_id = $import_id
),
swung AS (
    SELECT CAST(COLUMNS('.*_(m|mps|deg|rpm|s|ratio|share)$') AS DOUBLE)
    FROM stored_swings
    WHERE import_id = $import_id
),
values_of_column AS (
    SELECT column_name, value
    FROM measured
    UNPIVOT INCLUDE NULLS (value FOR column_name IN (COLUMNS(*)))
    UNION ALL
    SELECT column_name, value
    FROM swung
    UNPIVOT INCLUDE NULLS (value FOR column_name IN (COLUMNS(*)))
),
commonest AS (
    SELECT column_name, max(n) AS n_commonest, arg_max(value, n) AS commonest
    FROM (
        SELECT column_name, value, count(*) AS n
        FROM values_of_column
        WHERE value IS NOT NULL
        GROUP BY column_name, value
    )
    GROUP BY column_name
)
SELECT
    column_name,
    count(*) AS n_rows,
    count(*) FILTER (WHERE value IS NULL) AS n_missing,
    count(DISTINCT value) AS n_distinct,
    min(value) AS lowest,
    median(value) AS middle,
    max(value) AS highest,
    any_value(commonest) AS commonest,
    any_value(n_commonest) AS n_commonest
FROM values_of_column
LEFT JOIN commonest USING (column_name)
GROUP BY column_name
HAVING count(value) > 0
ORDER BY column_name;
