-- What the stored rows say once corrections are applied; one temporary view per table.
-- Input: stored_<table> relations (rows of every standing import, with player_id).

-- Every correction that stands, one row per entry.
CREATE OR REPLACE TEMP VIEW edits AS SELECT * FROM stored_edits;

CREATE OR REPLACE TEMP VIEW imports AS SELECT * FROM stored_imports;

CREATE OR REPLACE TEMP VIEW players AS SELECT * FROM stored_players;

CREATE OR REPLACE TEMP VIEW pairs AS SELECT * FROM stored_pairs;

CREATE OR REPLACE TEMP VIEW population AS SELECT * FROM stored_population;

CREATE OR REPLACE TEMP VIEW set_aside AS SELECT * FROM stored_set_aside;

-- What the newest standing correction of each kind says, one row per corrected event.
CREATE OR REPLACE TEMP VIEW corrections AS
SELECT
    player_id,
    target,
    target_id,
    arg_max(action, edited_at_utc) FILTER (WHERE action IN ('mishit', 'clean')) AS strike,
    arg_max(action, edited_at_utc) FILTER (WHERE action IN ('exclude', 'include')) AS keep,
    arg_max(value, edited_at_utc) FILTER (WHERE action = 'club') AS club,
    arg_max(value, edited_at_utc) FILTER (WHERE action = 'swing_length') AS swing_length,
    arg_max(value, edited_at_utc) FILTER (WHERE action = 'surface') AS surface,
    arg_max(value, edited_at_utc) FILTER (WHERE action = 'move_player') AS moved_to
FROM stored_edits
GROUP BY player_id, target, target_id;

-- Every struck ball, one row per event; the newest import of an event wins. `strike` is what a
-- coach said of it; excluded and moved balls are in shots_all only. A ball without an instant
-- counts to the session of its import.
CREATE OR REPLACE TEMP VIEW shots_all AS
SELECT
    stored.* EXCLUDE (club, swing_length, surface),
    coalesce(correction.club, stored.club) AS club,
    coalesce(correction.swing_length, stored.swing_length) AS swing_length,
    coalesce(correction.surface, stored.surface) AS surface,
    correction.strike,
    CASE WHEN correction.strike IS NOT NULL THEN 'coach' END AS strike_by,
    coalesce(correction.keep = 'exclude', false) OR correction.moved_to IS NOT NULL AS excluded,
    CAST(timezone(coalesce(player.zone, 'UTC'), stored.struck_at_utc) AS DATE) AS day,
    stored.player_id || ':' || coalesce(
        strftime(timezone(coalesce(player.zone, 'UTC'), stored.struck_at_utc), '%Y-%m-%d'),
        stored.import_id
    ) AS session_id
FROM stored_shots AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
LEFT JOIN stored_players AS player USING (player_id)
LEFT JOIN corrections AS correction
    ON correction.player_id = stored.player_id
    AND correction.target = 'shots'
    AND correction.target_id = stored.event_id
QUALIFY row_number() OVER (
    PARTITION BY stored.player_id, stored.event_id
    ORDER BY import.imported_at_utc DESC NULLS LAST, stored.import_id
) = 1;

CREATE OR REPLACE TEMP VIEW shots AS SELECT * EXCLUDE (excluded) FROM shots_all WHERE NOT excluded;

-- Every swing, one row per event. `sensor_day` is the local day by the sensor's own clock, which
-- may be wrong: the session of a swing is what `pairs` says.
CREATE OR REPLACE TEMP VIEW swings AS
SELECT
    stored.*,
    CAST(timezone(coalesce(player.zone, 'UTC'), stored.swung_at_utc) AS DATE) AS sensor_day
FROM stored_swings AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
LEFT JOIN stored_players AS player USING (player_id)
LEFT JOIN corrections AS correction
    ON correction.player_id = stored.player_id
    AND correction.target = 'swings'
    AND correction.target_id = stored.event_id
WHERE coalesce(correction.keep, 'include') = 'include' AND correction.moved_to IS NULL
QUALIFY row_number() OVER (
    PARTITION BY stored.player_id, stored.event_id
    ORDER BY import.imported_at_utc DESC NULLS LAST, stored.import_id
) = 1;

-- Every mark of a ball, one row per mark.
CREATE OR REPLACE TEMP VIEW marks AS
SELECT
    stored.*,
    CAST(timezone(coalesce(player.zone, 'UTC'), stored.marked_at_utc) AS DATE) AS day,
    stored.player_id || ':' || coalesce(
        strftime(timezone(coalesce(player.zone, 'UTC'), stored.marked_at_utc), '%Y-%m-%d'),
        stored.import_id
    ) AS session_id
FROM stored_marks AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
LEFT JOIN stored_players AS player USING (player_id)
LEFT JOIN corrections AS correction
    ON correction.player_id = stored.player_id
    AND correction.target = 'marks'
    AND correction.target_id = stored.event_id
WHERE coalesce(correction.keep, 'include') = 'include' AND correction.moved_to IS NULL
QUALIFY row_number() OVER (
    PARTITION BY stored.player_id, stored.event_id
    ORDER BY import.imported_at_utc DESC NULLS LAST, stored.import_id
) = 1;

-- Every scored attempt at a station, one row per event.
CREATE OR REPLACE TEMP VIEW scores AS
SELECT stored.*
FROM stored_scores AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
LEFT JOIN corrections AS correction
    ON correction.player_id = stored.player_id
    AND correction.target = 'scores'
    AND correction.target_id = stored.event_id
WHERE coalesce(correction.keep, 'include') = 'include' AND correction.moved_to IS NULL
QUALIFY row_number() OVER (
    PARTITION BY stored.player_id, stored.event_id
    ORDER BY import.imported_at_utc DESC NULLS LAST, stored.import_id
) = 1;

-- Conditions of a day of practice, one row per player and day; of each column the newest entry
-- that says something wins, so that a later word on the window does not unsay the green.
CREATE OR REPLACE TEMP VIEW sessions AS
SELECT
    stored.player_id,
    stored.day,
    arg_max(
        COLUMNS(stored.* EXCLUDE (player_id, day)),
        row(coalesce(import.imported_at_utc, TIMESTAMPTZ '1970-01-01'), stored.import_id)
    )
FROM stored_sessions AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
GROUP BY stored.player_id, stored.day;

-- Every entry about homework, one row per event: given once, reported on any number of times.
CREATE OR REPLACE TEMP VIEW homework AS
SELECT stored.*
FROM stored_homework AS stored
LEFT JOIN stored_imports AS import USING (player_id, import_id)
QUALIFY row_number() OVER (
    PARTITION BY stored.player_id, stored.event_id
    ORDER BY import.imported_at_utc DESC NULLS LAST, stored.import_id
) = 1;
