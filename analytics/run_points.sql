-- Question: does the run grow in proportion to the carry?
-- Grain: one row per clean ball with a run of its own; series is the player and the club.
CREATE TEMP VIEW IF NOT EXISTS run_points AS
SELECT
    player_id || ' ' || club AS series,
    carry_m AS x,
    coalesce(roll_m, total_m - carry_m) AS y
FROM shots
WHERE club IS NOT NULL AND carry_m > 0 AND strike IS DISTINCT FROM 'mishit';
