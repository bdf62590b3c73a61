-- The rows of one player, corrections applied, held in memory by the connection that asked twice.
-- Grain: as the views of the same name in views.sql, which from here on read these tables.
CREATE TEMP TABLE held_shots_all AS SELECT * FROM shots_all;

CREATE TEMP TABLE held_swings AS SELECT * FROM swings;

CREATE TEMP TABLE held_marks AS SELECT * FROM marks;

CREATE TEMP TABLE held_sessions AS SELECT * FROM sessions;

CREATE TEMP TABLE held_pairs AS SELECT * FROM pairs;

CREATE OR REPLACE TEMP VIEW shots_all AS SELECT * FROM held_shots_all;

CREATE OR REPLACE TEMP VIEW swings AS SELECT * FROM held_swings;

CREATE OR REPLACE TEMP VIEW marks AS SELECT * FROM held_marks;

CREATE OR REPLACE TEMP VIEW sessions AS SELECT * FROM held_sessions;

CREATE OR REPLACE TEMP VIEW pairs AS SELECT * FROM held_pairs;
