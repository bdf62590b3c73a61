"""Leaves as lines of text and as a JSON document, in the reader's units."""

from collections.abc import Iterator
from dataclasses import asdict

from analytics.leave import LeaveSummary, ZoneShare
from analytics.leaves import Leaves
from api.reader_units import ReaderUnits


def leave_lines(told: Leaves, units: ReaderUnits) -> Iterator[str]:
    """The whole answer in words: shares beside the chance line, direction, cost, by club."""
    if told.dry is not None:
        yield from summary_lines(told.dry, units)
    if told.wet is not None:
        yield ""
        yield "Wet greens, kept apart:"
        yield from summary_lines(told.wet, units)
    if len(told.by_club) > 1:
        yield ""
        for club, one in told.by_club.items():
            yield f"{club}: {one.n_shots} balls, {_share(one.leave_zone)}"
    if told.dry is None and told.wet is None:
        yield "No finish has a direction yet: add --clock to the marks."


def summary_lines(one: LeaveSummary, units: ReaderUnits) -> Iterator[str]:
    """One set of finishes in words."""
    median = units.of_metres(one.median_leave_m)
    yield (
        f"{one.n_shots} balls on {one.n_sessions} {'day' if one.n_sessions == 1 else 'days'},"
        f" {one.n_holed} holed;"
        f" half stop within {median:.1f} {units.length}."
    )
    for share in one.shares:
        yield f"  {share.name}: {_share(share)}"
    if one.bearing.mean_deg is not None:
        p = "under 1%" if one.bearing.p_even < 0.005 else f"{one.bearing.p_even:.0%}"
        luck = f"if all directions were alike, chance {p}"
        yield f"  mean direction {direction_words(one.bearing.mean_deg)} ({luck})"
    yield (
        f"  expected putts {one.expected_putts:.2f}, up and down {one.up_and_down:.0%};"
        f" by putts of {one.putting_label}"
    )


def direction_words(bearing_deg: float) -> str:
    """A bearing as a clock hour: 6 is straight below the hole."""
    hour = (6 + bearing_deg / 30) % 12
    return f"{round(hour * 2) / 2 or 12:g} o'clock"


def leave_document(player_id: str, told: Leaves) -> dict[str, object]:
    """The whole answer for `--json`, SI units."""
    return {
        "player_id": player_id,
        "dry": None if told.dry is None else asdict(told.dry),
        "wet": None if told.wet is None else asdict(told.wet),
        "by_club": {club: asdict(one) for club, one in told.by_club.items()},
        "by_day": {day.isoformat(): asdict(one) for day, one in told.by_day.items()},
        "marks": [asdict(mark) for mark in told.marks],
    }


def _share(share: ZoneShare) -> str:
    chance = "" if share.by_chance is None else f", by luck {share.by_chance:.0%}"
    state = share.state.replace("_", " ") + (f": {share.need}" if share.need else "")
    value = 0.0 if share.value is None else share.value
    return f"{value:.0%} ({share.low:.0%} to {share.high:.0%}{chance}) [{state}]"
