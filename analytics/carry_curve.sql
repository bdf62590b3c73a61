-- Question: which balls make a player's carry curves?
-- Grain: one row per player × club (× swing length when $by_swing_length) × session × what the coach
-- said of the balls; the balls themselves stand in two lists of one order.
-- x is ln(speed / 10 m/s), r is ln carry less $exponent·x. What sets mishits apart looks at all balls
-- of a curve at once, and is in `curve_rows`: the files are read once, the balls grouped once.
-- `said_surface` says that a ball of the row states what it was struck from.
-- Rows come in a fixed order, so that the same balls give the same digits.
SELECT
    player_id, club,
    CASE WHEN $by_swing_length THEN swing_length END AS swing_length,
    session_id, strike,
    list(ln(speed_mps / 10.0)) AS x,
    list(ln(carry_m) - $exponent * ln(speed_mps / 10.0)) AS r,
    max(loft_deg) AS loft_deg,
    bool_or(surface IS NOT NULL) AS said_surface
FROM query_table($strikes)
WHERE NOT $by_swing_length OR swing_length IS NOT NULL
GROUP BY ALL
ORDER BY player_id, club, swing_length, session_id, strike
