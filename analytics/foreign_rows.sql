-- How does each ball compare with what each player usually does with that club and swing length?
-- Grain: one row per ball of $player_id and candidate player; z-scores are robust and leave the
-- ball's own session out for its owner.
WITH
ball AS (
    SELECT
        player_id,
        session_id,
        event_id,
        source_line,
        import_id,
        struck_at_utc,
        coalesce(club, '') AS club,
        coalesce(swing_length, '') AS swing_length,
        ln(ball_speed_mps) AS log_ball_speed,
        launch_deg,
        start_right_deg,
        ln(carry_m) - 2 * ln(ball_speed_mps) AS log_carry_left
    FROM shots
    WHERE ball_speed_mps > 0 AND carry_m > 0
),
usual AS (
    SELECT
        ball.player_id AS candidate,
        held.session_id AS held_session,
        ball.club,
        ball.swing_length,
        count(*) AS n,
        median(log_ball_speed) AS speed_middle,
        greatest(mad(log_ball_speed) * 1.4826, 0.02) AS speed_spread,
        median(launch_deg) AS launch_middle,
        greatest(mad(launch_deg) * 1.4826, 1.0) AS launch_spread,
        median(start_right_deg) AS start_middle,
        greatest(mad(start_right_deg) * 1.4826, 0.5) AS start_spread,
        median(log_carry_left) AS carry_middle,
        greatest(mad(log_carry_left) * 1.4826, 0.03) AS carry_spread
    FROM ball
    JOIN (SELECT DISTINCT session_id FROM ball WHERE player_id = $player_id) AS held
        ON ball.session_id <> held.session_id
    GROUP BY ALL
    HAVING count(*) >= 12
)
SELECT
    ball.session_id,
    ball.event_id,
    ball.import_id,
    ball.source_line,
    usual.candidate,
    (log_ball_speed - speed_middle) / speed_spread AS speed_z,
    (launch_deg - launch_middle) / launch_spread AS launch_z,
    (start_right_deg - start_middle) / start_spread AS start_z,
    (log_carry_left - carry_middle) / carry_spread AS carry_z,
    ln(speed_spread) + coalesce(ln(launch_spread), 0) + coalesce(ln(start_spread), 0)
        + ln(carry_spread) AS log_spreads
FROM ball
JOIN usual
    ON usual.held_session = ball.session_id
    AND usual.club = ball.club
    AND usual.swing_length = ball.swing_length
WHERE ball.player_id = $player_id
ORDER BY ball.session_id, ball.struck_at_utc, ball.source_line, usual.candidate;
