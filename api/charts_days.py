"""A value by day of practice, as one chart with its table."""

from collections.abc import Mapping, Sequence
from datetime import date

from analytics.answer import Answer
from api.page_view import View
from api.plots.sessions import Session, sessions_svg
from api.plots.svg import Figure

MOST_DAYS = 60
"""Days a chart can show side by side; of a longer history the newest."""


def day_figure(
    view: View,
    name: str,
    text: str,
    values: Sequence[tuple[date | None, Answer]],
    unit: str = "",
    *,
    marks: Mapping[date, str] | None = None,
) -> Figure:
    """One value per day with its interval; `text` names the title, `text_summary` the sentence.

    `unit` overrules the answers' own; `marks` are short words under their days.
    """
    say = view.texts.say
    known = [(day, answer) for day, answer in values if day is not None][-MOST_DAYS:]
    below = marks or {}
    shown = [_session(view, day, answer, unit, below.get(day, "")) for day, answer in known]
    word = unit or (known[0][1].unit if known else "")
    summary = say(f"{text}_summary", days=len(shown))
    title = say(text)
    rows = tuple(
        (
            view.day(day),
            view.quantity(answer.value, unit or answer.unit),
            view.interval(answer.low, answer.high, unit or answer.unit),
            str(answer.n_shots),
            say(f"state.{answer.state}"),
        )
        for day, answer in known
    )
    header = tuple(say(f"column.{c}") for c in ("day", "value", "interval", "shots", "state"))
    svg = sessions_svg(shown, view.unit_word(word) or title, summary)
    return Figure(name, title, summary, svg, header, rows)


def _session(view: View, day: date, answer: Answer, unit: str, mark: str) -> Session:
    value, low, high = (
        None if v is None else view.to_reader(v, unit or answer.unit)
        for v in (answer.value, answer.low, answer.high)
    )
    return Session(day, view.short_day(day), value, low, high, mark)
