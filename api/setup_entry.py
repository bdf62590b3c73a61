"""Records a set-up note at the ball its block starts with."""

from pathlib import Path

from analytics.db import ask, open_store
from analytics.errors import BadQuestion
from analytics.setup_blocks import join_tags
from ingest.edits import Correction, correct


def note_setup(
    store: Path, player_id: str, day: str, from_ball: int, tags: tuple[str, ...], *, by: str
) -> str:
    """Note `tags` from a ball of a day on; returns the entry's import id, which undo takes back.

    Raises: BadQuestion for a ball that is not there or a text that is no tag.
    """
    value = join_tags(tags)
    con = open_store(store, player_id)
    rows = ask(con, "setup_notes", {"player_id": player_id}).to_pylist()
    con.close()
    found = [r["event_id"] for r in rows if str(r["day"]) == day and r["ball"] == from_ball]
    if not found:
        raise BadQuestion(
            f"There is no ball {from_ball} on {day}.",
            "Count the balls of that day from 1 in the order they were struck.",
        )
    made = correct(store, player_id, [Correction("setup", found[0], "shots", value)], by=by)
    return made.import_id
