"""One player's profile: curves, brackets, tempo, landings, one clear thing and one open thing.

con = open_store(store, "ana1")
profile = player_profile(con, "ana1")
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from analytics.brackets import Brackets, brackets
from analytics.carry_curve import carry_curves
from analytics.cautions import Caution, ball_cautions, standing_cautions, usual_limits
from analytics.db import Connection, ask
from analytics.discovery import Finding
from analytics.errors import AnalyticsError
from analytics.feedback import Feedback, feedback
from analytics.landings import Landings, landings
from analytics.power_curve import CarryCurve
from analytics.practice_rows import Window
from analytics.speed_card import SpeedCard
from analytics.speed_cards import card_for, named_lengths
from analytics.tempos import Tempos, tempos

OUTCOME = ("landing_", "start_", "mishit_")


@dataclass(frozen=True)
class PlayerProfile:
    """Everything a report about one player needs.

    clear: the finding that stands out most, open: the one most worth settling; either may be None.
    card: three swings for the window last played at, None without a curve that reaches it.
    """

    player_id: str
    display_name: str | None
    handedness: str
    age_band: str
    n_shots: int
    n_swings: int
    n_sessions: int
    first_day: date | None
    last_day: date | None
    balls_last_day: int
    curves: tuple[CarryCurve, ...]
    feedback: Feedback
    brackets: Brackets
    tempo: Tempos
    landing: Landings
    clear: Finding | None
    open: Finding | None
    card: SpeedCard | None
    cautions: tuple[Caution, ...]
    ball_cautions: tuple[Caution, ...]


def player_profile(
    con: Connection, player_id: str, window: Window | None = None, declared: str | None = None
) -> PlayerProfile:
    """Assemble the profile; arguments and errors as of `feedback`."""
    counts = ask(con, "player_profile", {"player_id": player_id}).to_pylist()[0]
    found = feedback(con, player_id, window, declared)
    shown = brackets(found)
    age_band = counts["age_band"] or "adult"
    curves = tuple(carry_curves(con, player_id))
    clear = clear_thing(found.findings)
    return PlayerProfile(
        player_id=player_id,
        display_name=counts["display_name"],
        handedness=counts["handedness"] or "right",
        age_band=age_band,
        n_shots=counts["n_shots"],
        n_swings=counts["n_swings"],
        n_sessions=counts["n_sessions"],
        first_day=counts["first_day"],
        last_day=counts["last_day"],
        balls_last_day=counts["balls_last_day"],
        curves=curves,
        feedback=found,
        brackets=shown,
        tempo=tempos(found),
        landing=landings(found),
        clear=clear,
        open=open_thing(found.findings, clear),
        card=_card(con, found, shown, curves),
        cautions=standing_cautions(age_band),
        ball_cautions=ball_cautions(counts["balls_last_day"], usual_limits(age_band)),
    )


def clear_thing(findings: Sequence[Finding]) -> Finding | None:
    """The effect found that is largest against what matters, drawn toward nothing first."""
    found = [f for f in findings if f.verdict == "effect"]
    return _largest(found, lambda f: abs(f.expected) / f.matters)


def open_thing(findings: Sequence[Finding], clear: Finding | None = None) -> Finding | None:
    """The open outcome most worth settling: large against what matters, least likely chance.

    Beside a clear finding about how something is done, it is what came of it that stands open:
    the landings first.
    """
    still = [f for f in findings if f.verdict in {"hint", "open"}]
    orders = [("landing_",)] if clear is not None and not clear.key.startswith(OUTCOME) else []
    for beginnings in (*orders, OUTCOME, ("",)):
        some = [f for f in still if f.key.startswith(beginnings)]
        if some:
            return _largest(some, _worth_settling)
    return None


def _worth_settling(finding: Finding) -> float:
    return abs(finding.answer.value or 0.0) / finding.matters * (1 - finding.p_value)


def _largest(findings: Sequence[Finding], weight: Callable[[Finding], float]) -> Finding | None:
    return max(findings, key=weight) if findings else None


def _card(
    con: Connection, found: Feedback, shown: Brackets, curves: Sequence[CarryCurve]
) -> SpeedCard | None:
    """Three swings for the latest window with the club last bracketed, where a curve reaches it."""
    if shown.last is None or shown.last.row.club is None:
        return None
    curve = next((c for c in curves if c.club == shown.last.row.club), None)
    if curve is None:
        return None
    lengths = named_lengths(con, found.read.player_id, curve.club)
    try:
        return card_for(found, curve, lengths=lengths)
    except AnalyticsError:
        return None
