"""Pairing: how a player's clocks were brought together, and a person's word where they were not."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import quote

from starlette.responses import Response

from analytics.db import Connection
from analytics.pair_list import PairList, pair_list
from api.errors import Problem
from api.page_frame import Reader, ReaderOf, page_router
from api.pair_by_hand import ROLES, settle
from api.pair_player import SessionMap, pair_player
from api.player_cards import PlayerCard

router = page_router()
MOST_CHOICES = 3
MOST_OFFSET_S = 4e9
AGREE_S = 0.5
"""Clocks closer than this agree: a swing and its ball are further apart than that anyway."""


@dataclass(frozen=True)
class ClockDoubt:
    """A session whose clocks fit at several offsets, and the offsets to choose from."""

    player: PlayerCard
    session: SessionMap
    offsets_s: tuple[float, ...]


def clock_doubts(reader: Reader, cards: list[PlayerCard]) -> list[ClockDoubt]:
    """Sessions that wait for a choice between offsets."""
    store = reader.service.settings.store
    return [
        ClockDoubt(card, one, tuple(one.rival_offsets_s[:MOST_CHOICES]))
        for card in cards
        for one in pair_player(store, card.player_id)
        if one.verdict == "ambiguous"
    ]


def clock_words(reader: Reader, offset_s: float) -> str:
    """An offset as a person says it: which clock is ahead, and by how much."""
    if abs(offset_s) < AGREE_S:
        return reader.say("pairing.agree")
    seconds, tenth = divmod(round(abs(offset_s) * 10), 10)
    minutes, second = divmod(seconds, 60)
    time = f"{minutes // 60}:{minutes % 60:02}:{second:02}{reader.view.decimal}{tenth}"
    return reader.say("pairing.ahead" if offset_s >= 0 else "pairing.behind", time=time)


def jump_words(reader: Reader, zone: str, step: Mapping[str, str | float]) -> str:
    """When the sensor's clock jumped, on the player's clock, and by how much."""
    at = reader.view.moment(datetime.fromisoformat(str(step["at_utc"])), zone)
    size = reader.view.number(float(step["size_s"]), 1)
    return reader.say("pairing.step", time=at, size=size)


def day_of(session_id: str) -> date:
    """The day in a session's name, `player:YYYY-MM-DD`."""
    return date.fromisoformat(session_id.split(":")[1])


@router.get("/players/{player_id}/pairing")
async def pairing(reader: ReaderOf, player_id: str, session: str = "") -> Response:
    """Every session's clock map; ball by ball for the chosen one."""
    player = reader.card(player_id)
    store = reader.service.settings.store
    maps = await reader.service.runner.run(pair_player, store, player_id)
    chosen = next((one for one in maps if one.session_id == session), None)
    listed = await reader.ask(player_id)(_listed, session) if chosen else None
    return reader.page(
        "pairing.html",
        "player",
        player,
        maps=list(reversed(maps)),
        chosen=chosen,
        listed=listed,
        roles=ROLES,
        clock=lambda offset_s: clock_words(reader, offset_s),
        jump=lambda step: jump_words(reader, player.zone, step),
        most=MOST_CHOICES,
        day_of=day_of,
    )


def _listed(connection: Connection, session_id: str) -> PairList:
    return pair_list(connection, session_id)


@router.post("/players/{player_id}/pairing")
async def settle_pairing(reader: ReaderOf, player_id: str) -> Response:
    """Take one word about a pairing; it can be undone like any entry."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    action, target, value = _said(fields.get("action", ""), fields)
    by = reader.caller.coach or reader.caller.key_id
    store = reader.service.settings.store
    await reader.service.runner.run(settle, store, player.player_id, action, target, value, by=by)
    await reader.service.changed(player.player_id)
    if fields.get("from") == "doubts":
        return reader.go("/doubts")
    session = quote(fields.get("session", ""), safe="")
    return reader.go(f"/players/{player_id}/pairing?session={session}")


def _said(action: str, fields: Mapping[str, str]) -> tuple[str, str, str]:
    """The settlement that a form states. Raises Problem 422 for none."""
    shot, swing = fields.get("shot", ""), fields.get("swing", "")
    if action in {"pin_pair", "forbid_pair"}:
        return action, shot, swing
    if action == "role":
        return action, swing, fields.get("role", "")
    if action == "clock_offset":
        return action, fields.get("session", ""), str(_seconds(fields.get("offset_s", "")))
    raise Problem(422, "no_such_answer", "Nothing was said.", "Use the buttons of the page.")


def _seconds(text: str) -> float:
    """Seconds as typed: `3680`, `-12,5` or `1:01:20`."""
    parts = text.strip().replace(",", ".").replace("−", "-").split(":")
    try:
        total = 0.0
        for part in parts:
            total = total * 60 + abs(float(part))
    except ValueError:
        total = math.nan
    if not total <= MOST_OFFSET_S:
        raise Problem(
            422, "no_such_answer", f"{text!r} is no time.", "Write 3680, -12.5 or 1:01:20."
        )
    return -total if parts[0].startswith("-") else total
