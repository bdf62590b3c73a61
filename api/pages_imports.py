"""Imports: look before taking, live progress, what was set aside and why, undo and redo."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Literal
from zoneinfo import available_timezones

from fastapi import Query
from starlette.datastructures import UploadFile
from starlette.responses import Response

from analytics.data_page import DataPage, data_page
from analytics.db import Connection, ask
from api.errors import Problem
from api.imports_seen import ImportSeen, imports_of, one_import
from api.jobs import create_job, new_job_id
from api.page_frame import Reader, ReaderOf, page_router
from api.page_preview import previews
from api.page_session import require_own_form
from api.page_uploads import forget, keep, looked_at
from api.pages_players import player_from
from api.player_cards import PlayerCard
from api.take_back import bring_back, take_back
from ingest.options import Options
from ingest.players import save_player
from schemas.store_paths import uploads_dir

router = page_router()
SHOWN, SHOWN_FIRST = 60, 12
NEW_PLAYER = "new"


@router.get("/imports")
async def imports(reader: ReaderOf, player: Annotated[str, Query(max_length=32)] = "") -> Response:
    """Files to drop, and what came in before."""
    cards = reader.cards()
    chosen = [card for card in cards if card.player_id == player] or cards
    reader.shows(cards)
    found = await reader.service.runner.run(_everything, reader, chosen)
    return reader.page(
        "imports.html",
        "imports",
        cards=cards,
        chosen=player,
        shown_first=SHOWN_FIRST,
        standing=found[0][:SHOWN],
        undone=found[1][:SHOWN],
        names={card.player_id: card.display_name for card in cards},
        zones={card.player_id: card.zone for card in cards},
    )


def _everything(
    reader: Reader, cards: list[PlayerCard]
) -> tuple[list[ImportSeen], list[ImportSeen]]:
    store = reader.service.settings.store
    found = []
    for undone in (False, True):
        rows = [one for card in cards for one in imports_of(store, card.player_id, undone)]
        found.append(sorted(rows, key=lambda one: one.imported_at_utc, reverse=True))
    return found[0], found[1]


@router.post("/imports")
async def look(reader: ReaderOf) -> Response:
    """Keep the files aside and show what they hold; nothing is taken in yet."""
    async with reader.request.form(max_files=50) as form:
        said = {name: value for name, value in form.items() if isinstance(value, str)}
        require_own_form(reader.request, said.get("token", ""))
        reader.needs("import")
        files = [file for file in form.getlist("files") if isinstance(file, UploadFile)]
        made = await keep(reader.service.settings.store, files)
    return reader.go(f"/imports/look/{made}?player={said.get('player', '')}")


@router.get("/imports/look/{look_id}")
async def show_look(
    reader: ReaderOf,
    look_id: str,
    player: Annotated[str, Query(max_length=32)] = "",
    zone: Annotated[str, Query(max_length=64)] = "",
) -> Response:
    """What each file holds, and the questions it leaves."""
    reader.needs("import")
    cards = reader.cards()
    reader.shows(cards)
    card = next((one for one in cards if one.player_id == player), None)
    files = looked_at(reader.service.settings.store, look_id)
    options = _options(card, zone or reader.view.zone)
    shown = await reader.service.runner.run(previews, files, reader.view, options)
    hint = next((one.player_hint for one in shown if one.player_hint), "")
    meant = card or next((one for one in cards if one.display_name == hint), None)
    return reader.page(
        "look.html",
        "imports",
        look_id=look_id,
        shown=shown,
        cards=cards,
        meant=meant,
        hint=hint,
        zones=sorted(name for name in available_timezones() if "/" in name or name == "UTC"),
        zone=zone or (meant.zone if meant else reader.view.zone),
        takeable=any(not one.refusal for one in shown),
    )


def _options(card: PlayerCard | None, zone: str) -> Options:
    if card is None:
        return Options(zone=zone or None)
    hand: Literal["right", "left"] = "left" if card.handedness == "left" else "right"
    return Options(zone=zone or None, player_zone=card.zone, player_handedness=hand)


@router.post("/imports/look/{look_id}/take")
async def take(reader: ReaderOf, look_id: str) -> Response:
    """Take the files in with the answers given; each file is a job of its own."""
    fields = await reader.form()
    reader.needs("import")
    store = reader.service.settings.store
    files = looked_at(store, look_id)
    player_id = await _whose(reader, fields)
    jobs = []
    for file in files:
        if fields.get(f"leave_{file.number}") == "yes":
            continue
        job_id = new_job_id()
        file.path.rename(uploads_dir(store) / job_id)
        answers = _answers(fields, file.number)
        said: dict[str, object] = {"zone": fields.get("zone") or None, "answers": answers or None}
        create_job(
            reader.service.state,
            job_id=job_id,
            kind="import",
            player_id=player_id,
            caller=reader.caller,
            request={"name": file.name, "options": said},
        )
        reader.service.job_runner.call(job_id)
        jobs.append(job_id)
    forget(store, look_id)
    return reader.go(f"/jobs?ids={','.join(jobs)}")


def _answers(fields: Mapping[str, str], number: int) -> dict[str, str]:
    start = f"answer_{number}_"
    return {
        name[len(start) :]: said for name, said in fields.items() if name.startswith(start) and said
    }


async def _whose(reader: Reader, fields: Mapping[str, str]) -> str:
    chosen = fields.get("player", "")
    if chosen and chosen != NEW_PLAYER:
        return reader.card(chosen).player_id
    if not fields.get("name", "").strip():
        raise Problem(
            422, "whose", reader.say("imports.whose_missing"), reader.say("imports.whose_mend")
        )
    reader.needs("manage")
    made = player_from(fields)
    made = replace(made, coach=reader.caller.coach or None, zone=fields.get("zone") or made.zone)
    await reader.service.runner.run(save_player, reader.service.settings.store, made)
    return made.player_id


@router.get("/imports/{import_id}")
async def one(reader: ReaderOf, import_id: str) -> Response:
    """One import: its counts, its values, what was set aside, its open questions."""
    seen = one_import(reader.service, reader.caller, import_id)
    player = reader.card(seen.player_id)
    reader.shows([player])
    found = None
    if seen.standing:
        found = await reader.ask(seen.player_id)(import_content, import_id)
    return reader.page("import.html", "imports", seen=seen, owner=player, found=found)


def import_content(con: Connection, import_id: str) -> tuple[DataPage, list[dict[str, object]]]:
    """The data page of an import and its rows set aside."""
    aside = ask(con, "set_aside_rows", {"import_id": import_id}).to_pylist()
    return data_page(con, import_id), aside


@router.post("/imports/{import_id}/undo")
async def undo(reader: ReaderOf, import_id: str) -> Response:
    """Take an import back."""
    await reader.form()
    reader.needs("import")
    seen = one_import(reader.service, reader.caller, import_id)
    if seen.standing:
        await reader.service.runner.run(take_back, reader.service.settings.store, import_id)
        await reader.service.changed(seen.player_id)
    return reader.go(f"/imports?player={seen.player_id}")


@router.post("/imports/{import_id}/redo")
async def redo(reader: ReaderOf, import_id: str) -> Response:
    """Bring back an import that was taken back."""
    await reader.form()
    reader.needs("import")
    seen = one_import(reader.service, reader.caller, import_id)
    if not seen.standing:
        await reader.service.runner.run(bring_back, reader.service.settings.store, import_id)
        await reader.service.changed(seen.player_id)
    return reader.go(f"/imports?player={seen.player_id}")
