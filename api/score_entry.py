"""A sitting of a scored test as a person says it, made into rows of `scores`.

Each station in one short word, so that a sheet can be typed in one line:
* strokes tests: `2`, or with the leave of the chip `2:4ft`
* low side and other tests by finish: `4ft@5` (distance @ clock hour), `1.2m@20deg`, `holed`
* hits: `x` or `hit`, `o` or `miss`; tests judged by eye: `yny` (yes / no for each question)
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from analytics.errors import BadQuestion
from analytics.leave import from_clock
from analytics.scored_test import Attempt, Ball, Rules, StationScore, score
from analytics.tape import read_length
from ingest.hand_entry import Cell

HITS = {"x": True, "hit": True, "yes": True, "1": True, "o": False, "miss": False, "0": False}
FINISH = re.compile(r"(?P<leave>[^@]+)@(?P<where>[\d.]+)(?P<unit>deg|°)?")


def read_station(rules: Rules, station: int, text: str) -> Ball:
    """One station's ball from its short word. Raises: BadQuestion for what it cannot mean."""
    said = text.strip().lower()
    if rules.measure == "strokes":
        return _strokes(station, said)
    if any(award.kind == "judged" for award in rules.awards):
        return _judged(station, said)
    if rules.measure == "hits" and said in HITS:
        return Ball(station, hit=HITS[said])
    return _finish(station, said)


def sitting(rules: Rules, words: Sequence[str], order: Sequence[int] | None = None) -> Attempt:
    """A sitting from one word per station, in the order of play (station order by default).

    Words may name their station, as `3=4ft@5`; `-` leaves a station open.
    Raises: BadQuestion for more words than stations, or as `score`.
    """
    places = list(order or range(1, len(rules.stations) + 1))
    if len(words) > len(places):
        raise BadQuestion(
            f"{len(words)} scores for {rules.draw} stations.", "give one score per station"
        )
    balls = []
    for place, word in zip(places, words, strict=False):
        named, equals, rest = word.partition("=")
        station = int(named) if equals and named.isdigit() else place
        text = rest if equals else word
        if text.strip() != "-":
            balls.append(read_station(rules, station, text))
    return score(rules, balls)


def score_rows(attempt: Attempt, attempt_id: str, at_utc: datetime) -> list[dict[str, Cell]]:
    """The rows of `scores` of a sitting, a second apart in the order of play."""
    if at_utc.tzinfo is None:
        raise BadQuestion("The time of the sitting has no zone.", "write it with an offset")
    start = at_utc.astimezone(UTC)
    return [
        _row(attempt.rules, one, attempt_id, start + timedelta(seconds=place))
        for place, one in enumerate(attempt.scores)
    ]


def _row(rules: Rules, one: StationScore, attempt_id: str, at_utc: datetime) -> dict[str, Cell]:
    ball = one.ball
    return {
        "entry_id": f"{attempt_id}/{ball.station}",
        "test": rules.key,
        "attempt_id": attempt_id,
        "scored_at_utc": at_utc,
        "station": ball.station,
        "station_text": one.station.text,
        "club": one.station.club,
        "strokes": ball.strokes,
        "points": one.points,
        "leave_m": ball.leave_m,
        "leave_bearing_deg": ball.leave_bearing_deg,
        "hit": one.hit,
    }


def _strokes(station: int, said: str) -> Ball:
    number, _, leave = said.partition(":")
    if not number.isdigit():
        raise _unreadable(station, said, "2, or 2:4ft with the leave of the chip")
    ball = Ball(station, strokes=int(number))
    return replace(ball, leave_m=read_length(leave).metres) if leave else ball


def _judged(station: int, said: str) -> Ball:
    if not said or set(said) - set("yn"):
        raise _unreadable(station, said, "one y or n for each question, as yny")
    return Ball(station, judged=tuple(letter == "y" for letter in said))


def _finish(station: int, said: str) -> Ball:
    if said == "holed":
        return Ball(station, leave_m=0.0)
    found = FINISH.fullmatch(said)
    if found is None:
        if re.match(r"\d", said):
            return Ball(station, leave_m=read_length(said).metres)
        raise _unreadable(station, said, "4ft@5 (distance @ clock hour), 1.2m@20deg or holed")
    where = float(found["where"])
    bearing = where if found["unit"] else from_clock(where)
    return Ball(station, leave_m=read_length(found["leave"]).metres, leave_bearing_deg=bearing)


def _unreadable(station: int, said: str, example: str) -> BadQuestion:
    return BadQuestion(f"Station {station}: {said!r} cannot be read.", f"write {example}")
