"""Marks by phone: where each ball landed and finished, with or without a network."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import partial

from starlette.responses import Response

from analytics.db import Connection, ask
from analytics.errors import BadQuestion
from analytics.leave import to_clock
from api.entries import fresh_entry_id, pace_from_walks
from api.entry_time import entered_at
from api.mark_entry import MarkSaid, mark_row
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from ingest.hand_entry import enter

router = page_router()
ZERO = re.compile(r"0+([.,]0+)?")


@dataclass(frozen=True)
class MarkRow:
    """One mark as it stands in the book."""

    ball_number: int | None
    marked_at_utc: datetime
    day: date
    land_past_edge_m: float | None
    land_side_m: float | None
    leave_m: float | None
    leave_bearing_deg: float | None
    import_id: str
    source_line: int


@router.get("/players/{player_id}/marks")
async def marks(reader: ReaderOf, player_id: str) -> Response:
    """The entry form and the newest marks."""
    player = reader.card(player_id)
    newest = await reader.ask(player_id)(newest_marks, player)
    today = [one for one in newest if one.day == newest[0].day] if newest else []
    fresh = bool(today) and (datetime.now(UTC) - today[0].marked_at_utc).total_seconds() < 6 * 3600
    following = max((one.ball_number or 0 for one in today), default=0) + 1 if fresh else 1
    return reader.page(
        "marks.html",
        "marks",
        player,
        marks=newest,
        following=following,
        sided=partial(sided, reader.view),
        hour=partial(hour, reader.view),
    )


def sided(view: View, metres: float | None, plus: str, minus: str) -> str:
    """A length with the word for its side, as it was entered: `0.9 ft left`."""
    if metres is None:
        return "–"
    side = plus if metres >= 0 else minus
    return view.texts.say(f"marks.is_{side}", distance=view.quantity(abs(metres), "m"))


def hour(view: View, bearing_deg: float | None) -> str:
    """A direction from the hole as it was entered: an hour, with 6 straight below."""
    if bearing_deg is None:
        return "–"
    return view.number(to_clock(bearing_deg), 1)


def newest_marks(con: Connection, player: PlayerCard) -> list[MarkRow]:
    """The newest marks of a player, newest first."""
    rows = ask(con, "newest_marks", {"player_id": player.player_id}).to_pylist()
    return [MarkRow(**row) for row in rows]


@router.post("/players/{player_id}/marks")
async def save_mark(reader: ReaderOf, player_id: str) -> Response:
    """Keep one mark; the same entry sent again changes nothing."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    walks = fields.get("pace_walks", "").strip()
    row = mark_row(said_mark(fields, reader.view), pace_from_walks(walks) if walks else None)
    store = reader.service.settings.store
    await reader.service.runner.run(enter, store, player.player_id, "marks", [row])
    await reader.service.changed(player.player_id)
    return reader.taken(f"/players/{player_id}/marks")


def said_mark(fields: Mapping[str, str], view: View) -> MarkSaid:
    """The mark as the form says it; a bare number is in the reader's unit."""
    number = fields.get("ball_number", "").strip()
    if not number.isdigit():
        raise BadQuestion(f"{number!r} is no ball number.", "give the number called out, from 1.")
    hour = fields.get("hour", "").strip().replace(",", ".")
    try:
        clock = float(hour) if hour else None
    except ValueError:
        raise BadQuestion(f"{hour!r} is no hour.", "give 0 to 12, for example 4.5.") from None
    leave, tape = (fields.get(name, "").strip() for name in ("leave", "tape_to_hole"))
    holed = bool(ZERO.fullmatch(leave)) or fields.get("holed") == "yes"
    if leave and clock is None and not holed:
        raise BadQuestion(
            "The finish has no direction.", "give it as an hour, with 6 straight below the hole."
        )
    return MarkSaid(
        entry_id=fields.get("entry_id") or fresh_entry_id(),
        at_utc=entered_at(fields),
        ball_number=int(number),
        holed=holed,
        leave=None if ZERO.fullmatch(leave) else leave or None,
        clock=clock,
        landed_past_edge=_signed(fields, "land"),
        landed_right=_signed(fields, "side"),
        unit=view.length,
        note=fields.get("note", "").strip()[:200] or None,
        tape_to_hole=tape or None,
        tape_to_peg=fields.get("tape_to_peg", "").strip() or None,
        peg_below=fields.get("peg_below", "").strip() or "6 ft",
        peg_side="right" if fields.get("peg_side") == "right" else "left",
    )


def _signed(fields: Mapping[str, str], name: str) -> str | None:
    said = fields.get(name, "").strip()
    minus = "-" if fields.get(f"{name}_sign") == "minus" else ""
    return minus + said if said else None
