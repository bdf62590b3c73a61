"""Progress over the weeks in words: leaves day by day, scored tests, homework done."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass

from analytics.answer import Answer
from analytics.db import Connection
from analytics.errors import NothingYet
from analytics.homework import GivenHomework, homework
from analytics.leave_progress import LeaveDay, LeaveProgress, leave_progress
from analytics.leaves import leaves
from analytics.scored_test import Rules
from analytics.scores import ScoreHistory, played_tests, score_history
from api.reader_units import ReaderUnits
from api.scoring import change_words


@dataclass(frozen=True)
class Weeks:
    """What happened over the weeks; `leaves` is None while no finish is marked."""

    player_id: str
    leaves: LeaveProgress | None
    tests: tuple[ScoreHistory, ...]
    homework: tuple[GivenHomework, ...]


def weeks_of(connection: Connection, player_id: str, rules: dict[str, Rules]) -> Weeks:
    """Everything that `progress` tells about a player."""
    try:
        told = leave_progress(leaves(connection, player_id))
    except NothingYet:
        told = None
    played = [key for key in played_tests(connection, player_id) if key in rules]
    return Weeks(
        player_id,
        told,
        tuple(score_history(connection, player_id, rules[key]) for key in played),
        tuple(homework(connection, player_id)),
    )


def weeks_lines(told: Weeks, units: ReaderUnits) -> Iterator[str]:
    """The weeks in words."""
    if told.leaves is not None:
        yield from _leave_lines(told.leaves, units)
    for one in told.tests:
        totals = ", ".join(f"{sitting.total:g}" for sitting in one.sittings)
        yield f"{one.rules.title}: {totals}"
        yield f"  last against the one before: {change_words(one)}"
    yield from _homework_lines(told.homework)
    if told.leaves is None and not told.tests and not told.homework:
        yield "Nothing yet: enter marks (carrybook mark) or a scored test (carrybook score)."


def weeks_document(told: Weeks) -> dict[str, object]:
    """The weeks as JSON tells them, SI units."""
    tests = [
        {
            "test": one.rules.key,
            "sittings": [asdict(sitting) for sitting in one.sittings],
            "real_change": one.noise.real_change,
            "change": asdict(one.change),
        }
        for one in told.tests
    ]
    return {
        "player_id": told.player_id,
        "leaves": None if told.leaves is None else asdict(told.leaves),
        "tests": tests,
        "homework": [asdict(one) for one in told.homework],
    }


def _leave_lines(told: LeaveProgress, units: ReaderUnits) -> Iterator[str]:
    yield "Leaves by day (share below the hole and within 6 ft, 90 % bands):"
    for one in told.days:
        yield _day_line(one, units)
    for day in told.wet_days:
        yield f"  {day}: wet green, shown apart and left out of the change"
    yield f"  median leave, first to last: {_change(told.median_change, units)}"
    yield f"  share below the hole, first to last: {_change(told.below_change, units)}"
    yield f"  share within 6 ft, first to last: {_change(told.near_change, units)}"


def _day_line(one: LeaveDay, units: ReaderUnits) -> str:
    green = f", green {one.green_speed_ft:g} ft" if one.green_speed_ft else ""
    gap = " (after a break)" if one.after_break else ""
    median = units.of_metres(one.told.median_leave_m)
    below, near = one.told.below, one.told.near
    return (
        f"  {one.day}{gap}: {one.told.n_shots} balls, median {median:.1f} {units.length}, below"
        f" {below.value or 0:.0%} ({below.low:.0%} to {below.high:.0%}), near"
        f" {near.value or 0:.0%} ({near.low:.0%} to {near.high:.0%}){green}"
    )


def _change(answer: Answer, units: ReaderUnits) -> str:
    state = answer.state.replace("_", " ") + (f": {answer.need}" if answer.need else "")
    if answer.value is None or answer.low is None or answer.high is None:
        return f"[{state}]"
    if answer.unit == "m":
        value, low, high = (units.of_metres(x) for x in (answer.value, answer.low, answer.high))
        said = f"{value:+.1f} {units.length} ({low:+.1f} to {high:+.1f})"
    else:
        said = f"{answer.value:+.0%} ({answer.low:+.0%} to {answer.high:+.0%})"
    seen = ", no change seen" if answer.low <= 0 <= answer.high else ""
    if not seen and answer.state == "leaning":
        seen = ", may be chance beside all that was looked at"
    return f"{said}{seen} [{state}]"


def _homework_lines(given: Sequence[GivenHomework]) -> Iterator[str]:
    if not given:
        return
    done = sum(one.outcome == "done" for one in given)
    part = sum(one.outcome == "part" for one in given)
    balls = sum(one.balls_done for one in given)
    yield f"Homework: {done} of {len(given)} done, {part} in part, {balls} balls."
