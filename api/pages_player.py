"""One player at a glance, and the weeks behind: overview and progress."""

from dataclasses import dataclass

from starlette.responses import Response

from analytics.carry_curve import carry_curves
from analytics.curve_ground import curve_grounds
from analytics.db import Connection, ask
from analytics.feedback import feedback
from analytics.homework import GivenHomework, homework
from analytics.power_curve import CarryCurve
from analytics.scored_test import Rules
from analytics.scores import ScoreHistory, played_tests, score_history
from api.charts_progress import charts_of, leaves_by_day
from api.finding_words import SaidFinding, say_findings, say_focus
from api.ground_words import ground_words
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure

router = page_router()


@dataclass(frozen=True)
class Counts:
    """How much of a player is in the book."""

    n_shots: int
    n_swings: int
    n_marks: int
    n_days: int
    mishits: int


@dataclass(frozen=True)
class PlayerContent:
    """What the overview shows: one thing clear, one open, counts, curves and what they lean on."""

    counts: Counts
    clear: SaidFinding | None
    open: SaidFinding | None
    focus: str
    curves: list[CarryCurve]
    grounds: list[str]
    tests: list[ScoreHistory]


@dataclass(frozen=True)
class ProgressContent:
    """What the page Progress shows."""

    findings: list[SaidFinding]
    figures: list[Figure]
    n_looked: int
    focus: str
    given: list[GivenHomework]

    @property
    def done(self) -> int:
        """Pieces of homework done."""
        return sum(one.outcome == "done" for one in self.given)

    @property
    def balls(self) -> int:
        """Balls hit for homework."""
        return sum(one.balls_done for one in self.given)


@router.get("/players/{player_id}")
async def player(reader: ReaderOf, player_id: str) -> Response:
    """What is clear, what is open, and where to look."""
    card = reader.card(player_id)
    content = await reader.ask(player_id)(player_content, card, reader.view, reader.rules(card))
    return reader.page("player.html", "player", card, content=content)


def player_content(
    con: Connection, card: PlayerCard, view: View, rules: dict[str, Rules]
) -> PlayerContent:
    """The overview's answers for one player."""
    found = feedback(con, card.player_id)
    judged = say_findings(view, found.findings, card.handedness)
    changed = {one.key for one in found.findings if one.kind == "change"}
    clear = [one for one in judged if one.verdict == "effect"]
    clear.sort(key=lambda one: (one.key not in changed, one.key != found.focus.key))
    curves = carry_curves(con, card.player_id)
    undecided = [one for one in judged if one.verdict in {"hint", "open"}]
    return PlayerContent(
        counts_of(con, card.player_id),
        next(iter(clear), None),
        next(iter(sorted(undecided, key=lambda one: one.verdict != "hint")), None),
        say_focus(view, found),
        curves,
        [ground_words(view, one) for one in curve_grounds(con, card.player_id, curves)],
        tests_of(con, card.player_id, rules),
    )


def counts_of(con: Connection, player_id: str) -> Counts:
    """How much of a player is in the book."""
    return Counts(**ask(con, "player_counts", {"player_id": player_id}).to_pylist()[0])


def tests_of(con: Connection, player_id: str, known: dict[str, Rules]) -> list[ScoreHistory]:
    """Histories of the tests a player has played whose rules are known."""
    played = played_tests(con, player_id)
    return [score_history(con, player_id, known[key]) for key in played if key in known]


@router.get("/players/{player_id}/progress")
async def progress(reader: ReaderOf, player_id: str) -> Response:
    """Everything looked at, judged together, and the weeks as charts."""
    card = reader.card(player_id)
    content = await reader.ask(player_id)(progress_content, card, reader.view, reader.rules(card))
    return reader.page("progress.html", "progress", card, content=content)


def progress_content(
    con: Connection, card: PlayerCard, view: View, rules: dict[str, Rules]
) -> ProgressContent:
    """The page's answers for one player."""
    found = feedback(con, card.player_id)
    judged = say_findings(view, found.findings, card.handedness)
    order = ("effect", "no_effect", "hint", "open", "too_early")
    judged.sort(key=lambda one: order.index(one.verdict))
    left = leaves_by_day(con, card.player_id)
    drawn = charts_of(view, found, tests_of(con, card.player_id, rules), left)
    focus = say_focus(view, found)
    return ProgressContent(judged, drawn, len(judged), focus, homework(con, card.player_id))
