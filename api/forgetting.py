"""Removes what the service knows of an erased player, and says so to the apps that were told."""

import shutil

from api.service_state import ServiceState, now
from schemas.store_paths import kept_rows_dir, uploads_dir

HELD = ("share_links", "jobs", "reads", "replies", "changes", "known_players")
DELETE = {table: f"DELETE FROM {table} WHERE player_id = :player" for table in HELD}
NAMED_IN = "SELECT key_id FROM keys, json_each(keys.players) WHERE json_each.value = :player"
UNNAME = (
    "UPDATE keys SET players = (SELECT json_group_array(value) FROM json_each(keys.players)"
    " WHERE value != :player) WHERE key_id = :key"
)
TELL = (
    "INSERT INTO changes(at, type, player_id, coach, named_in, may_leave)"
    " SELECT :at, 'player.erased', :player, :coach, json_group_array(value), :leave"
    " FROM json_each(:keys)"
)


def forget_player(state: ServiceState, player_id: str) -> list[str]:
    """Remove a player from keys, links, jobs, logs and kept replies; returns what was removed.

    The feed keeps one line, that this player was erased: other apps need it to erase their copies.
    """
    removed = []
    with state.together():
        known = state.row("SELECT * FROM known_players WHERE player_id = :p", p=player_id)
        keys = [row["key_id"] for row in state.rows(NAMED_IN, player=player_id)]
        for row in state.rows("SELECT job_id FROM jobs WHERE player_id = :p", p=player_id):
            (uploads_dir(state.path.parent) / row["job_id"]).unlink(missing_ok=True)
        shutil.rmtree(kept_rows_dir(state.path.parent, player_id), ignore_errors=True)
        for table in HELD:
            n = state.run(DELETE[table], player=player_id)
            if n:
                removed.append(f"service: {n} rows of {table}")
        for key_id in keys:
            state.run(UNNAME, player=player_id, key=key_id)
            removed.append(f"service: the player's name in key {key_id}")
        state.run(
            TELL,
            at=now(),
            player=player_id,
            coach=known["coach"] if known else "",
            leave=known["may_leave"] if known else 0,
            keys="[" + ",".join(f'"{key_id}"' for key_id in keys) + "]",
        )
    state.wipe_log()
    return removed
