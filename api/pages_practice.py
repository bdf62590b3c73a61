"""Bracket, tempo and landing: what practice shows, each answer with its interval and state."""

from dataclasses import dataclass

from starlette.responses import Response

from analytics.brackets import Brackets, brackets
from analytics.db import Connection
from analytics.feedback import feedback
from analytics.landings import Landings, landings
from analytics.tempos import Tempos, tempos
from api import charts_bracket, charts_landing, charts_tempo
from api.finding_words import SaidFinding, say_findings
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure

router = page_router()


@dataclass(frozen=True)
class BracketContent:
    """What the page Bracket shows."""

    told: Brackets
    figures: list[Figure]
    process: list[SaidFinding]
    outcome: list[SaidFinding]


@dataclass(frozen=True)
class TempoContent:
    """What the page Tempo shows."""

    told: Tempos
    figures: list[Figure]
    habits: list[SaidFinding]
    links: list[SaidFinding]


@dataclass(frozen=True)
class LandingContent:
    """What the page Landing shows."""

    told: Landings
    figures: list[Figure]
    findings: list[SaidFinding]


@router.get("/players/{player_id}/bracket")
async def bracket(reader: ReaderOf, player_id: str) -> Response:
    """Triples, width and how often the window is held."""
    player = reader.card(player_id)
    content = await reader.ask(player_id)(bracket_content, player, reader.view)
    return reader.page("bracket.html", "bracket", player, content=content)


def bracket_content(con: Connection, player: PlayerCard, view: View) -> BracketContent:
    """The page's answers for one player."""
    found = feedback(con, player.player_id)
    told = brackets(found)
    drawn = charts_bracket.charts_of(view, found, told)
    return BracketContent(
        told,
        drawn,
        say_findings(view, told.process, player.handedness),
        say_findings(view, told.outcome, player.handedness),
    )


@router.get("/players/{player_id}/tempo")
async def tempo(reader: ReaderOf, player_id: str) -> Response:
    """Ratio, drift, and whether the miss goes with it."""
    player = reader.card(player_id)
    content = await reader.ask(player_id)(tempo_content, player, reader.view)
    return reader.page("tempo.html", "tempo", player, content=content)


def tempo_content(con: Connection, player: PlayerCard, view: View) -> TempoContent:
    """The page's answers for one player."""
    found = feedback(con, player.player_id)
    told = tempos(found)
    drawn = charts_tempo.charts_of(view, found, told)
    return TempoContent(
        told,
        drawn,
        say_findings(view, told.habits, player.handedness),
        say_findings(view, told.links, player.handedness),
    )


@router.get("/players/{player_id}/landing")
async def landing(reader: ReaderOf, player_id: str) -> Response:
    """Window, gate, direction, and what the misses are made of."""
    player = reader.card(player_id)
    content = await reader.ask(player_id)(landing_content, player, reader.view)
    return reader.page("landing.html", "landing", player, content=content)


def landing_content(con: Connection, player: PlayerCard, view: View) -> LandingContent:
    """The page's answers for one player."""
    found = feedback(con, player.player_id)
    told = landings(found)
    every = [*told.outcome, *told.direction, *told.contact]
    return LandingContent(
        told, charts_landing.charts_of(view, found), say_findings(view, every, player.handedness)
    )
