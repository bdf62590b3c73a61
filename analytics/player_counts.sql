-- Question: how much of a player is in the book?
-- Grain: one row.
SELECT
    (SELECT count(*) FROM shots WHERE player_id = $player_id) AS n_shots,
    (SELECT count(*) FROM swings WHERE player_id = $player_id) AS n_swings,
    (SELECT count(*) FROM marks WHERE player_id = $player_id) AS n_marks,
    (SELECT count(DISTINCT session_id) FROM shots WHERE player_id = $player_id) AS n_days,
    (SELECT count(*) FROM shots WHERE player_id = $player_id AND strike = 'mishit') AS mishits;
