"""The conditions of one day as a person says them, on their way into the store from any face.

What is not said stays as it was noted before: the newest word on each thing counts (see the view
`sessions`), and undo takes an entry back without touching the others.
"""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from analytics.db import Connection, ask, open_store
from analytics.errors import BadQuestion
from analytics.roll import flat_speed_ft
from analytics.tape import read_length
from api.entries import Entered, fresh_entry_id
from ingest.hand_entry import ENTRY_ID, Cell, check_row, enter
from ingest.players import Player
from ingest.surfaces import read_surface

Said = Mapping[str, str | float | None]

LENGTHS = {
    "window_near": "window_near_m",
    "window_far": "window_far_m",
    "gate_width": "gate_width_m",
    "gate_distance": "gate_distance_m",
    "edge": "edge_m",
    "hole": "hole_m",
}


def conditions_row(
    said: Said, rolls_ft: tuple[float, float] | None = None, unit: str | None = None
) -> dict[str, Cell]:
    """What was said as columns of `sessions`; lengths may be text (`20ft`, `6.1 m`).

    Args:
        rolls_ft: instead of a green speed, stimpmeter rolls up and down one slope.
        unit: meant by a bare length.
    Raises: BadQuestion for what is no length, rolls that cannot be, or a green speed said twice.
    """
    row: dict[str, Cell] = {}
    for name, value in said.items():
        if value is not None and value != "":
            length = LENGTHS.get(name)
            row[length or name] = read_length(str(value), unit).metres if length else value
    if "surface" in row:
        row["surface"] = read_surface(str(row["surface"]))
    if rolls_ft is not None:
        if "green_speed_ft" in row:
            raise BadQuestion(
                "The green speed is said in two ways.", "give the speed or the two rolls"
            )
        row["green_speed_ft"] = flat_speed_ft(*rolls_ft)
    if not row:
        raise BadQuestion("Nothing is said about the day.", "give for example the green speed")
    return row


def both_rolls(up_ft: float | None, down_ft: float | None) -> tuple[float, float] | None:
    """The two rolls, or None for neither. Raises: BadQuestion for one alone."""
    if up_ft is None and down_ft is None:
        return None
    if up_ft is None or down_ft is None:
        raise BadQuestion(
            "One roll tells no green speed on a slope.", "give the roll up and the roll down"
        )
    return up_ft, down_ft


def enter_conditions(store: Path, who: Player, day: date, row: Mapping[str, Cell]) -> Entered:
    """Keep what was said of a day.

    What was said earlier and changed since is a word of its own: the day's window may go back to
    where it stood.

    Raises: BadOption for a value that cannot be, or a window whose ends are swapped, be it with
        what was noted before.
    """
    connection = open_store(store, who.player_id)
    try:
        before = noted_before(connection, who.player_id, day)
    finally:
        connection.close()
    check_row("sessions", before | dict(row))
    named = dict(row) | {"session_id": f"{who.player_id}:{day}", "day": day}
    source = f"conditions of {day}"
    made = enter(store, who.player_id, "sessions", [named], source_name=source)
    back = any(before.get(name) != value for name, value in row.items())
    if back and not made.new and ENTRY_ID not in row:
        named |= {ENTRY_ID: fresh_entry_id()}
        made = enter(store, who.player_id, "sessions", [named], source_name=source)
    return Entered(who, "sessions", made.import_id, made.new, (named,))


def noted_before(connection: Connection, player_id: str, day: date) -> dict[str, Cell]:
    """What was noted of a day so far."""
    asked = {"player_id": player_id, "day": day.isoformat()}
    rows = ask(connection, "day_conditions", asked).to_pylist()
    return {name: value for row in rows for name, value in row.items() if value is not None}
