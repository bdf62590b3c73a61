-- Question: which surface are a player's curves made of?
-- Grain: one row, or none where no ball and no day states a surface.
SELECT surface
FROM surface_in_play
WHERE player_id = $player_id;
