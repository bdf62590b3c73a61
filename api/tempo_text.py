"""Tempo in sentences, never finer than the sensor samples."""

from collections.abc import Iterator

from analytics.tempos import TempoDay, Tempos
from api.bracket_text import finding_lines
from api.wording import Wording


def tempo_lines(shown: Tempos, say: Wording) -> Iterator[str]:
    """Everything about a player's tempo."""
    if shown.ratio.value is None and shown.rehearsal_ratio.value is None:
        yield say.text("tempo.none")
        return
    yield say.text("tempo.heading")
    for day in shown.days:
        yield "  " + _day(day, say)
    yield ""
    ratio = shown.ratio
    yield say.text(
        "tempo.ratio",
        ratio=_ratio(ratio.value, 2, say),
        low=_ratio(ratio.low, 2, say),
        high=_ratio(ratio.high, 2, say),
        n_shots=ratio.n_shots,
        n_sessions=ratio.n_sessions,
        rehearsal=_ratio(shown.rehearsal_ratio.value, 2, say),
    )
    if shown.sampling_step_s is None:
        yield say.text("tempo.sampling_unknown")
    else:
        yield say.text(
            "tempo.sampling",
            rate=say.number(1 / shown.sampling_step_s, 0),
            sd=say.number(shown.rounding_sd, 2),
        )
    yield ""
    yield from finding_lines(shown.habits, say)
    if shown.set_of_balls is not None:
        yield "  " + say.text("focus.sets", balls=shown.set_of_balls)
    yield from finding_lines(shown.links, say)


def _day(day: TempoDay, say: Wording) -> str:
    return say.text(
        "tempo.day",
        day=day.day or day.session_id,
        ratio=_ratio(day.ratio.value, 2, say),
        low=_ratio(day.ratio.low, 2, say),
        high=_ratio(day.ratio.high, 2, say),
        back=_ratio(day.backswing_s.value, 2, say),
        down=_ratio(day.downswing_s.value, 2, say),
        n=day.ratio.n_shots,
    )


def _ratio(value: float | None, decimals: int, say: Wording) -> str:
    return "–" if value is None else say.number(value, decimals)
