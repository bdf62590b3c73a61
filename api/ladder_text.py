"""Ladder, gaps, roll ratios, changes and advice as lines of text."""

from collections.abc import Iterator, Sequence

from analytics.carry_ladder import LadderCell
from analytics.carry_to_roll import RollRatio
from analytics.gaps import Gap
from analytics.next_best_shot import NextShot
from analytics.since_last_fitting import Change
from api.curve_text import span, state_words
from api.reader_units import ReaderUnits

GAP_WORDS = {
    "clear": "gap is clear",
    "too_wide": "gap is too wide",
    "overlap": "the two do the same work",
    "not_yet": "not yet told apart",
    "too_early": "too early",
}

CHANGE_WORDS = {
    "changed": "changed",
    "no_change_seen": "no change seen",
    "leaning": "leaning, not clear",
    "too_early": "too early",
}

CARE = (
    "Stop when you are tired or something hurts; look around before every swing. "
    "Mix the order of the rungs."
)


def ladder_lines(ladder: Sequence[LadderCell], units: ReaderUnits) -> Iterator[str]:
    """One line per rung: carry with its band, one clean ball, any ball, counts, mishits, state."""
    yield (
        f"{'swing':<12} {'carry ' + units.length:>9} {'middle':>14} {'one clean ball':>16} "
        f"{'any ball':>14}  balls days  mishits (coach, rule)  state"
    )
    for rung in ladder:
        centre = rung.centre
        yield (
            f"{rung.name:<12} {_length(centre.value, units):>9} {span(centre, units):>14} "
            f"{span(rung.one_shot, units):>16} {span(rung.with_mishits, units):>14}  "
            f"{centre.n_shots:5d} {centre.n_sessions:4d}  "
            f"{rung.n_coach + rung.n_rule:5d} ({rung.n_coach}, {rung.n_rule}){'':<8}  "
            f"{state_words(centre.state, centre.need)}"
        )


def gap_lines(gaps: Sequence[Gap], units: ReaderUnits) -> Iterator[str]:
    """One line per pair of neighbours: of clean balls, then of all balls."""
    for gap in gaps:
        size = f"{_length(gap.difference.value, units)} {units.length}"
        words = GAP_WORDS[gap.judgement]
        need = f" ({gap.difference.need})" if gap.difference.need else ""
        yield (
            f"{gap.shorter.name} to {gap.longer.name}: {size} "
            f"({span(gap.difference, units)} at 95 %): {words}{need}; "
            f"any ball {_length(gap.with_mishits.value, units)} {units.length} "
            f"({span(gap.with_mishits, units)}): {GAP_WORDS[gap.judgement_with_mishits]}"
        )


def roll_lines(ratios: Sequence[RollRatio]) -> Iterator[str]:
    """One line per club and green speed."""
    for found in ratios:
        ratio = found.ratio
        low, high = _plain(ratio.low), _plain(ratio.high)
        wet = f", {found.n_wet} on wet greens" if found.n_wet else ""
        yield (
            f"{found.club}, {_green(found)}: runs {_plain(ratio.value)} of its carry "
            f"({low} to {high}), {ratio.n_shots} balls{wet} "
            f"[{state_words(ratio.state, ratio.need)}]"
        )
        if found.n_mishits:
            every = found.with_mishits
            yield (
                f"  with {found.n_mishits} mishits: {_plain(every.value)} "
                f"({_plain(every.low)} to {_plain(every.high)})"
            )
        if found.steady is False:
            yield "  its run does not grow with its carry: one ratio does not hold for all lengths"


def _green(found: RollRatio) -> str:
    if found.green_speed_ft is None:
        return "green speed not noted"
    return f"green speed {found.green_speed_ft:g} ft" + (" (scaled)" if found.scaled else "")


def change_lines(changes: Sequence[Change]) -> Iterator[str]:
    """One line per club and measure."""
    names = {"carry": "carry at the same speed", "spread": "spread", "mishits": "mishit share"}
    for change in changes:
        words = CHANGE_WORDS[change.verdict]
        answer = change.change
        size = f" {_percent(answer.value)} ({_percent(answer.low)} to {_percent(answer.high)})"
        need = f": {answer.need}" if answer.need else size
        yield f"{change.club or 'all clubs'}, {names[change.measure]}: {words}{need}"


def advice_lines(advice: NextShot) -> Iterator[str]:
    """What to hit next, what remains, and when to stop."""
    if advice.best is None:
        yield "Every rung is clear: nothing needs to be hit for the card."
        return
    best = advice.best
    yield (
        f"Hit {best.cell.name} next: its carry is known to ±{100 * best.half_width:.0f} %, "
        f"six more balls today make it ±{100 * best.after_block:.0f} %."
    )
    yield f"About {_effort(advice.balls, advice.days, 'on at least')} until every rung is clear:"
    for rung in advice.rungs:
        left = "clear" if rung.clear else _effort(rung.balls, rung.days, "on")
        yield f"  {rung.cell.name:<12} ±{100 * rung.half_width:.0f} %  {left}"
    yield CARE


def _length(value: float | None, units: ReaderUnits) -> str:
    return "–" if value is None else f"{units.of_metres(value):.1f}"


def _plain(value: float | None) -> str:
    return "–" if value is None else f"{value:.2f}"


def _percent(value: float | None) -> str:
    return "–" if value is None else f"{100 * value:+.0f} %"


def _effort(balls: int, days: int, on: str) -> str:
    """`1 ball on 2 days`."""
    return f"{balls} ball{'' if balls == 1 else 's'} {on} {days} day{'' if days == 1 else 's'}"
