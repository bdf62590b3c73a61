-- What homework was given, and what came of it?
-- Grain: one row per piece of homework; the newest report says what came of it.
SELECT
    homework_id,
    min(said_at_utc) FILTER (WHERE entry = 'set') AS set_at_utc,
    arg_max(due_day, said_at_utc) FILTER (WHERE entry = 'set') AS due_day,
    arg_max(focus, said_at_utc) FILTER (WHERE entry = 'set') AS focus,
    arg_max(title, said_at_utc) FILTER (WHERE entry = 'set') AS title,
    arg_max(task, said_at_utc) FILTER (WHERE entry = 'set') AS task,
    arg_max(club, said_at_utc) FILTER (WHERE entry = 'set') AS club,
    arg_max(test, said_at_utc) FILTER (WHERE entry = 'set') AS test,
    arg_max(blocks, said_at_utc) FILTER (WHERE entry = 'set') AS blocks,
    arg_max(balls_per_block, said_at_utc) FILTER (WHERE entry = 'set') AS balls_per_block,
    arg_max(stop_rule, said_at_utc) FILTER (WHERE entry = 'set') AS stop_rule,
    arg_max(target_text, said_at_utc) FILTER (WHERE entry = 'set') AS target_text,
    arg_max(note, said_at_utc) FILTER (WHERE entry = 'set') AS why,
    arg_max(outcome, said_at_utc) FILTER (WHERE entry = 'report') AS outcome,
    max(said_at_utc) FILTER (WHERE entry = 'report') AS reported_at_utc,
    coalesce(sum(balls_done) FILTER (WHERE entry = 'report'), 0)::BIGINT AS balls_done,
    count(*) FILTER (WHERE entry = 'report') AS n_reports
FROM homework
WHERE player_id = $player_id
GROUP BY homework_id
HAVING count(*) FILTER (WHERE entry = 'set') > 0
ORDER BY set_at_utc, homework_id;
