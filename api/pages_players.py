"""The list of players, and adding one."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from api.page_frame import ReaderOf, page_router
from ingest.players import Player, new_player_id, save_player

router = page_router()
NAME_LIMIT = 80


@router.get("/players")
async def players(reader: ReaderOf, find: Annotated[str, Query(max_length=80)] = "") -> Response:
    """Every player the reader may see; `find` narrows by name."""
    cards = reader.cards()
    wanted = find.casefold().strip()
    shown = [card for card in cards if wanted in card.display_name.casefold()]
    reader.shows(shown)
    return reader.page("players.html", "players", cards=shown, count=len(cards), find=find)


@router.post("/players")
async def add_player(reader: ReaderOf) -> Response:
    """A new player from the form; only what the job needs is asked."""
    fields = await reader.form()
    reader.needs("manage")
    coach = reader.caller.coach or None
    player = replace(player_from(fields), coach=coach)
    await reader.service.runner.run(save_player, reader.service.settings.store, player)
    return reader.go(f"/players/{player.player_id}")


def player_from(fields: Mapping[str, str]) -> Player:
    """The player a form describes; without a name it is a question mark."""
    name = " ".join(fields.get("name", "").split())[:NAME_LIMIT]
    left, junior = fields.get("hand") == "left", fields.get("age") == "junior"
    return Player(
        new_player_id(),
        name or "?",
        "left" if left else "right",
        "junior" if junior else "adult",
        guardian_consent=junior and fields.get("consent") == "yes",
        zone=fields.get("zone") or "UTC",
    )
