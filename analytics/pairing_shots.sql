-- Which balls can be paired with swings? Grain: one row per ball of $player_id with an instant.
SELECT
    session_id,
    event_id,
    epoch_us(struck_at_utc) / 1e6 AS time_s,
    day,
    coalesce(ball_speed_mps, 'nan'::DOUBLE) AS ball_speed_mps,
    coalesce(club_speed_mps, 'nan'::DOUBLE) AS club_speed_mps,
    coalesce(carry_m, 'nan'::DOUBLE) AS carry_m
FROM shots
WHERE player_id = $player_id AND struck_at_utc IS NOT NULL
ORDER BY struck_at_utc, source_line;
