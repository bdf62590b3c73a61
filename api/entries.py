"""What is entered by hand (marks, scores, homework) on its way into the store as one batch.

The same batch, or the same entry in another batch, is stored once: each entry carries an id made
by whoever sent it. A batch with one impossible entry is refused whole, naming the entry.
"""

import re
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from analytics.errors import BadQuestion
from analytics.tape import Pace, calibrate_pace, read_length
from api.mark_entry import MarkSaid, mark_row
from ingest.hand_entry import Cell, enter
from ingest.players import Player

Said = Mapping[str, str | int | float | bool | None]


@dataclass(frozen=True)
class Entered:
    """A batch in the store: whose, its import, whether it was new, and its rows."""

    player: Player
    table: str
    import_id: str
    new: bool
    rows: tuple[dict[str, Cell], ...]

    def document(self) -> dict[str, object]:
        """The batch as JSON tells it."""
        return {
            "player_id": self.player.player_id,
            "table": self.table,
            "import_id": self.import_id,
            "new": self.new,
            "rows": list(self.rows),
        }

    def lines(self) -> list[str]:
        """The batch in words, with the next likely command."""
        count = f"{len(self.rows)} {'entry' if len(self.rows) == 1 else 'entries'}"
        if not self.new:
            return [f"Already there: {count} of {self.player.display_name}; nothing was changed."]
        return [
            f"Kept {count} of {self.player.display_name} in {self.table}.",
            f"Take back: carrybook undo {self.import_id[:12]}",
        ]


def fresh_entry_id() -> str:
    """An id for an entry that comes without one."""
    return secrets.token_hex(8)


def moment(who: Player, at: datetime | None) -> datetime:
    """The instant meant by a wall-clock time in the player's zone; now when there is none."""
    if at is None:
        return datetime.now(UTC)
    zoned = at if at.tzinfo else at.replace(tzinfo=ZoneInfo(who.zone))
    return zoned.astimezone(UTC)


def said_mark(who: Player, at: datetime | None, said: Said) -> MarkSaid:
    """A mark from the options of the command line."""
    renamed: dict[str, Any] = {MARK_OPTIONS.get(name, name): value for name, value in said.items()}
    return MarkSaid(entry_id=fresh_entry_id(), at_utc=moment(who, at), **renamed)


MARK_OPTIONS = {
    "ball": "ball_number",
    "bearing": "bearing_deg",
    "fall_line": "fall_line_deg",
    "landed": "landed_past_edge",
}


def enter_marks(
    store: Path, who: Player, marks: Sequence[MarkSaid], pace_walks: str | None = None
) -> Entered:
    """Keep marks as one batch. Raises: BadQuestion for an impossible one, naming its ball."""
    pace = pace_from_walks(pace_walks) if pace_walks else None
    rows = [_named(mark, pace) for mark in marks]
    return enter_rows(store, who, "marks", rows)


def enter_rows(store: Path, who: Player, table: str, rows: Sequence[dict[str, Cell]]) -> Entered:
    """Keep ready rows as one batch."""
    if not rows:
        raise BadQuestion("There is nothing to enter.", "send at least one entry")
    committed = enter(store, who.player_id, table, rows)
    return Entered(who, table, committed.import_id, committed.new, tuple(rows))


def pace_from_walks(text: str) -> Pace:
    """A person's pace from `20 m: 25 26 25`. Raises: BadQuestion for anything else."""
    length, colon, counts = text.partition(":")
    numbers = re.findall(r"\d+(?:\.\d+)?", counts)
    if not colon or not numbers:
        raise BadQuestion(f"{text!r} is no set of walks.", "write for example '20 m: 25 26 25'")
    return calibrate_pace(read_length(length).metres, [float(number) for number in numbers])


def _named(mark: MarkSaid, pace: Pace | None) -> dict[str, Cell]:
    try:
        return mark_row(mark, pace)
    except BadQuestion as fault:
        ball = "the mark" if mark.ball_number is None else f"ball {mark.ball_number}"
        raise BadQuestion(f"{ball}: {fault.reason}", fault.mend) from fault
