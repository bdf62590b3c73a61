-- Question: what do this player's coach's players have in common, as last learnt?
-- Grain: one row, or none where nothing was learnt; `players` holds the one player asked about.
SELECT * EXCLUDE (coach_group, speed_kind, by_swing_length)
FROM population
WHERE
    speed_kind = $speed_kind
    AND by_swing_length = $by_swing_length
    AND coach_group = (
        SELECT "left"(sha256(coalesce(any_value(coach), '')), 16)
        FROM players
    );
