"""Scored tests: choose one, enter it station by station, read how it stands."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from analytics.db import Connection
from analytics.errors import BadQuestion
from analytics.scored_test import Ball, Rules, Station, drawn_stations, score
from analytics.scores import ScoreHistory, played_tests, score_history
from analytics.tape import read_length
from api.charts_test import charts_of
from api.entries import fresh_entry_id
from api.entry_time import entered_at
from api.own_tests import newest_of_each
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure
from api.score_entry import score_rows
from ingest.hand_entry import Cell, enter

router = page_router()


@dataclass(frozen=True)
class Sheet:
    """What the page shows of the chosen test; `stations` are those to play next, in order."""

    rules: Rules
    stations: tuple[Station, ...]
    history: ScoreHistory
    figures: list[Figure]
    played: list[str]


@router.get("/players/{player_id}/test")
async def scored_test(
    reader: ReaderOf,
    player_id: str,
    test: Annotated[str, Query(max_length=80)] = "",
    saved: bool = False,
) -> Response:
    """The sheet of one test and its history; `test` is name@version."""
    player = reader.card(player_id)
    known = reader.rules(player)
    content = await reader.ask(player_id)(sheet_of, player, reader.view, known, test)
    tests = {one.key: one for one in newest_of_each(known).values()}
    tests |= {key: known[key] for key in [*content.played, content.rules.key]}
    return reader.page("test.html", "test", player, content=content, tests=tests, saved=saved)


def sheet_of(
    con: Connection, player: PlayerCard, view: View, known: dict[str, Rules], wanted: str
) -> Sheet:
    """History and charts of the wanted test, else of the one played, else of the first.

    A drawn test is drawn anew after every sitting, and stays as it is until then.
    """
    played = [key for key in played_tests(con, player.player_id) if key in known]
    key = wanted if wanted in known else next(iter([*played, "nine_station_hole_out@1"]))
    history = score_history(con, player.player_id, known[key])
    stations = drawn_stations(known[key], len(history.sittings) + len(history.left_out) + 1)
    return Sheet(known[key], stations, history, charts_of(view, history), played)


@router.post("/players/{player_id}/test")
async def save_test(reader: ReaderOf, player_id: str) -> Response:
    """Score one sitting; the same entry sent again changes nothing."""
    player = reader.card(player_id)
    fields = await reader.form()
    reader.needs("import")
    rows = scored_rows(fields, reader.view, reader.rules(player))
    store = reader.service.settings.store
    await reader.service.runner.run(enter, store, player.player_id, "scores", rows)
    await reader.service.changed(player.player_id)
    return reader.taken(f"/players/{player_id}/test?test={fields['test']}&saved=true")


def scored_rows(
    fields: Mapping[str, str], view: View, known: Mapping[str, Rules]
) -> list[dict[str, Cell]]:
    """Rows of a sheet. Raises BadQuestion for a station that cannot be scored as entered."""
    rules = known.get(fields.get("test", ""))
    if rules is None:
        raise BadQuestion("There is no such test.", "choose one of the list on the page Test.")
    numbers = [int(name[2:]) for name in fields if name.startswith("n_") and name[2:].isdigit()]
    balls = [_ball(number, fields, rules, view) for number in numbers]
    attempt = score(rules, balls)
    if attempt.open_stations:
        missing = ", ".join(map(str, attempt.open_stations))
        raise BadQuestion(f"Stations {missing} are not scored.", "score every station, then send.")
    attempt_id = fields.get("entry_id") or fresh_entry_id()
    return score_rows(attempt, attempt_id, entered_at(fields))


def _ball(number: int, fields: Mapping[str, str], rules: Rules, view: View) -> Ball:
    strokes, leave = (
        fields.get(f"n_{number}", "").strip(),
        fields.get(f"leave_{number}", "").strip(),
    )
    bearing = fields.get(f"bearing_{number}", "").strip()
    judged = [award for award in rules.awards if award.kind == "judged"]
    if rules.measure == "strokes" and not strokes.isdigit():
        raise BadQuestion(f"Station {number}: {strokes!r} is no count.", "give whole strokes.")
    return Ball(
        number,
        strokes=int(strokes) if rules.measure == "strokes" else None,
        leave_m=read_length(leave, view.length).metres if leave else None,
        leave_bearing_deg=float(bearing) if bearing else None,
        hit=strokes == "hit" if rules.measure == "hits" else None,
        judged=tuple(fields.get(f"judge_{number}_{i}") == "yes" for i in range(len(judged))),
    )
