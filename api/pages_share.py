"""Share: keys for other apps, links that end, who read what, and consents."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import cast, get_args

from starlette.responses import Response

from api.access import SCOPES
from api.errors import Problem
from api.keys import KeyRecord, create_key, get_key, list_keys, revoke_key
from api.page_frame import Reader, ReaderOf, page_router
from api.read_log import Read
from api.share_links import Report, ShareLink, create_link, delete_link, get_link, list_links
from ingest.players import load_player, save_player

router = page_router()
REPORTS = get_args(Report)
READS_SHOWN = 30
LONGEST_DAYS = 366


@router.get("/share")
async def share(reader: ReaderOf) -> Response:
    """Keys, links, reads and consents of the reader's players."""
    reader.needs("manage")
    return _page(reader)


def _page(reader: Reader, secret: str = "", link: str = "") -> Response:
    state = reader.service.state
    cards = reader.cards()
    reader.shows(cards)
    seen = {card.player_id for card in cards}
    keys = [key for key in list_keys(state) if _own(reader, key)]
    links = [one for one in list_links(state) if one.player_id in seen]
    return reader.page(
        "share.html",
        "share",
        keys=keys,
        links=links,
        reads=_reads(reader, seen),
        cards=cards,
        names={card.player_id: card.display_name for card in cards},
        scopes=SCOPES,
        reports=REPORTS,
        secret=secret,
        link=link,
    )


def _own(reader: Reader, key: KeyRecord) -> bool:
    return not reader.caller.coach or key.coach == reader.caller.coach


def _reads(reader: Reader, seen: set[str]) -> list[Read]:
    found = [one for one in reader.service.read_log.after(0, 10_000) if one.player_id in seen]
    return found[-READS_SHOWN:][::-1]


@router.post("/share/keys")
async def make_key(reader: ReaderOf) -> Response:
    """A new key, shown this once."""
    fields = await reader.form()
    reader.needs("manage")
    scopes = [scope for scope in SCOPES if fields.get(f"scope_{scope}") == "yes"]
    players = [card.player_id for card in reader.cards() if f"player_{card.player_id}" in fields]
    _, secret = create_key(
        reader.service.state,
        fields.get("name", "").strip()[:80] or "?",
        [scope for scope in scopes if reader.caller.may(scope)],
        coach=reader.caller.coach or fields.get("coach", "").strip()[:80],
        players=players or None,
        expires_at=_ends(fields),
    )
    reader.service.callers.reload()
    return _page(reader, secret=secret)


def _ends(fields: Mapping[str, str]) -> datetime | None:
    days = fields.get("days", "").strip()
    if not days:
        return None
    if not days.isdigit() or not 1 <= int(days) <= LONGEST_DAYS:
        mend = f"Give 1 to {LONGEST_DAYS} days, or leave it empty."
        raise Problem(422, "days_out_of_range", f"{days!r} is no number of days.", mend)
    return datetime.now(UTC) + timedelta(days=int(days))


@router.post("/share/keys/{key_id}/revoke")
async def end_key(reader: ReaderOf, key_id: str) -> Response:
    """End a key at once."""
    await reader.form()
    reader.needs("manage")
    if not _own(reader, get_key(reader.service.state, key_id)):
        raise Problem(404, "not_found", "There is no such key here.", "Look at the page Share.")
    revoke_key(reader.service.state, key_id)
    reader.service.callers.reload()
    return reader.go("/share")


@router.post("/share/links")
async def make_link(reader: ReaderOf) -> Response:
    """A link to one report of one player, shown this once."""
    fields = await reader.form()
    reader.needs("manage")
    player = reader.card(fields.get("player_id", ""))
    report = fields.get("report", "")
    if not player.may_leave or report not in REPORTS:
        raise Problem(
            422, "no_such_report", "This cannot be shared.", "Check the consent and the report."
        )
    until = _ends(fields) or datetime.now(UTC) + timedelta(days=14)
    days = max(1, round((until - datetime.now(UTC)) / timedelta(days=1)))
    _, token = create_link(
        reader.service.state, reader.caller, player.player_id, cast("Report", report), days
    )
    return _page(reader, link=f"{str(reader.request.base_url).rstrip('/')}/v1/shared/{token}")


@router.post("/share/links/{link_id}/delete")
async def end_link(reader: ReaderOf, link_id: str) -> Response:
    """End a link at once."""
    await reader.form()
    reader.needs("manage")
    found: ShareLink = get_link(reader.service.state, link_id)
    reader.card(found.player_id)
    delete_link(reader.service.state, link_id)
    return reader.go("/share")


@router.post("/share/consent/{player_id}")
async def consent(reader: ReaderOf, player_id: str) -> Response:
    """Record that a guardian agreed, or no longer does."""
    fields = await reader.form()
    reader.needs("manage")
    card = reader.card(player_id)
    store = reader.service.settings.store
    player = replace(
        load_player(store, card.player_id), guardian_consent=fields.get("agreed") == "yes"
    )
    await reader.service.runner.run(save_player, store, player)
    return reader.go("/share")
