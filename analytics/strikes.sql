-- Question: which balls may a calibration use, and which speed does it read them by?
-- Grain: one row per struck ball with that speed and a carry; one view per kind of speed.
-- Coach's marks stand in `strike`. A change of ball starts afresh only where a session states it:
-- balls before the day on which the ball last stated was first stated are left out. Balls off
-- another surface than the one stated last are left out of the views `in_play_…`: finding that one
-- reads every ball once more, which only who has stated surfaces should pay for. A ball that states
-- none is in play.

CREATE TEMP VIEW IF NOT EXISTS ball_regime AS
WITH stated AS (
    SELECT
        player_id, day, ball,
        arg_max(ball, day) OVER (PARTITION BY player_id) AS last_ball
    FROM sessions
    WHERE ball IS NOT NULL
),

other AS (
    SELECT
        player_id, day,
        max(CASE WHEN ball <> last_ball THEN day END) OVER (PARTITION BY player_id) AS other_day
    FROM stated
)

SELECT player_id, min(day) AS first_day
FROM other
WHERE day > other_day
GROUP BY player_id;

-- Every ball of the ball in play with what it was struck from, where that is stated: by itself, else
-- for its day.
CREATE TEMP VIEW IF NOT EXISTS hits AS
SELECT
    shots.* EXCLUDE (surface),
    coalesce(shots.surface, stated.surface) AS surface,
    coalesce(shots.struck_at_utc, CAST(shots.day AS TIMESTAMP WITH TIME ZONE)) AS hit_at
FROM shots
LEFT JOIN ball_regime ON ball_regime.player_id = shots.player_id
LEFT JOIN (
    SELECT player_id, day, surface
    FROM sessions
    WHERE surface IS NOT NULL
) AS stated
    ON stated.player_id = shots.player_id
    AND stated.day = shots.day
WHERE
    shots.carry_m > 0
    AND shots.club IS NOT NULL
    AND (ball_regime.first_day IS NULL OR shots.day >= ball_regime.first_day);

CREATE TEMP VIEW IF NOT EXISTS strikes_club AS
SELECT
    player_id, event_id, club, swing_length, session_id, day, loft_deg, strike, carry_m,
    surface, hit_at, club_speed_mps AS speed_mps
FROM hits
WHERE club_speed_mps > 0;

CREATE TEMP VIEW IF NOT EXISTS strikes_ball AS
SELECT
    player_id, event_id, club, swing_length, session_id, day, loft_deg, strike, carry_m,
    surface, hit_at, ball_speed_mps AS speed_mps
FROM hits
WHERE ball_speed_mps > 0;

CREATE TEMP VIEW IF NOT EXISTS strikes_sensor AS
SELECT
    struck.player_id, struck.event_id, struck.club, struck.swing_length, struck.session_id,
    struck.day, struck.loft_deg, struck.strike, struck.carry_m, struck.surface,
    struck.hit_at, swings.peak_speed_mps AS speed_mps
FROM hits AS struck
INNER JOIN pairs
    ON pairs.player_id = struck.player_id
    AND pairs.shot_event_id = struck.event_id
    AND pairs.role = 'strike'
    AND pairs.probability >= 0.5
INNER JOIN swings
    ON swings.player_id = pairs.player_id
    AND swings.event_id = pairs.swing_event_id
WHERE swings.peak_speed_mps > 0;

-- Every ball with a carry, whatever its speed: what a named swing length carries. The speed stands
-- at the reference, so that the middle is the carry itself; an unnamed length is ''.
CREATE TEMP VIEW IF NOT EXISTS strikes_length AS
SELECT
    player_id, event_id, club, coalesce(swing_length, '') AS swing_length, session_id, day,
    loft_deg, strike, carry_m, surface, hit_at, 10.0 AS speed_mps
FROM hits;

CREATE TEMP VIEW IF NOT EXISTS surface_in_play AS
SELECT
    player_id,
    arg_max(surface, hit_at) AS surface
FROM hits
WHERE surface IS NOT NULL
GROUP BY player_id;

CREATE TEMP VIEW IF NOT EXISTS in_play_club AS
SELECT struck.*
FROM strikes_club AS struck
LEFT JOIN surface_in_play ON surface_in_play.player_id = struck.player_id
WHERE struck.surface IS NULL OR struck.surface = surface_in_play.surface;

CREATE TEMP VIEW IF NOT EXISTS in_play_ball AS
SELECT struck.*
FROM strikes_ball AS struck
LEFT JOIN surface_in_play ON surface_in_play.player_id = struck.player_id
WHERE struck.surface IS NULL OR struck.surface = surface_in_play.surface;

CREATE TEMP VIEW IF NOT EXISTS in_play_sensor AS
SELECT struck.*
FROM strikes_sensor AS struck
LEFT JOIN surface_in_play ON surface_in_play.player_id = struck.player_id
WHERE struck.surface IS NULL OR struck.surface = surface_in_play.surface;

CREATE TEMP VIEW IF NOT EXISTS in_play_length AS
SELECT struck.*
FROM strikes_length AS struck
LEFT JOIN surface_in_play ON surface_in_play.player_id = struck.player_id
WHERE struck.surface IS NULL OR struck.surface = surface_in_play.surface;
