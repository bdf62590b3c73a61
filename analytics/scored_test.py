"""Scored tests: rules as data, and what a set of balls scores under them.

Rules
-----
1. A test is known as name@version; its stations, awards and target are data (`analytics/rules/`).
2. `measure` says what the total is: `strokes` (fewer is better), `points` or `hits` (more is).
3. `order` is `fixed` or `drawn`; a drawn test takes `draw` of its stations in an order that the
   seed decides, so that the sheet at the green and the score agree.
4. Every station is scored once: a second score for it is refused, never added or averaged.
5. Points for where a ball finished are worked out from its mark; `judged` awards are what a person
   saw. A holed ball earns every award for its finish.
"""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from analytics.errors import BadQuestion
from analytics.hole import FOOT_M
from analytics.leave import off_straight_below_deg

Measure = Literal["strokes", "points", "hits"]
AwardKind = Literal["below_hole", "within", "in_sector", "holed", "judged"]
MOST_STROKES = 20


@dataclass(frozen=True)
class Award:
    """Points for one thing at a station; `limit_m` or `sector_deg` where the kind needs one."""

    kind: AwardKind
    points: float
    limit_m: float | None = None
    sector_deg: float | None = None
    what: str = ""

    @property
    def words(self) -> str:
        """What earns the points, in words."""
        if self.kind == "within":
            return f"finishing within {(self.limit_m or 0.0) / FOOT_M:g} ft"
        if self.kind == "in_sector":
            return f"finishing within {self.sector_deg:g}° either side of straight below"
        plain = {"below_hole": "finishing below the hole", "holed": "holing out"}
        return plain.get(self.kind, self.what)


@dataclass(frozen=True)
class Station:
    """One place to play from."""

    number: int
    lie: str
    distance_m: float | None = None
    club: str | None = None

    @property
    def text(self) -> str:
        """The station in words, as it is stored with a score."""
        parts = [self.lie]
        if self.distance_m is not None:
            parts.append(f"{self.distance_m / FOOT_M:.0f} ft over")
        if self.club is not None:
            parts.append(self.club)
        return ", ".join(parts)


@dataclass(frozen=True)
class Rules:
    """The rules of one version of a test."""

    name: str
    version: int
    title: str
    measure: Measure
    target: float
    total_sd: float
    order: Literal["fixed", "drawn"]
    draw: int
    stations: tuple[Station, ...]
    awards: tuple[Award, ...] = ()
    hit_within_m: float | None = None

    @property
    def key(self) -> str:
        """name@version, as stored with every score."""
        return f"{self.name}@{self.version}"

    @property
    def lower_is_better(self) -> bool:
        """Whether a smaller total is a better one."""
        return self.measure == "strokes"

    @property
    def best(self) -> float:
        """The best total there is."""
        if self.measure == "points":
            return self.draw * sum(award.points for award in self.awards)
        return float(self.draw)


@dataclass(frozen=True)
class Ball:
    """What was seen at one station. Which parts are needed depends on the test."""

    station: int
    strokes: int | None = None
    leave_m: float | None = None
    leave_bearing_deg: float | None = None
    hit: bool | None = None
    judged: tuple[bool, ...] = ()


@dataclass(frozen=True)
class StationScore:
    """A ball with its points (points tests) or hit (hits tests) worked out."""

    ball: Ball
    station: Station
    points: float | None
    hit: bool | None


@dataclass(frozen=True)
class Attempt:
    """One sitting: scores by station, their total, and the stations still open."""

    rules: Rules
    scores: tuple[StationScore, ...]
    open_stations: tuple[int, ...]
    total: float

    @property
    def complete(self) -> bool:
        """Whether every station has a score; only then may the total be compared."""
        return not self.open_stations

    @property
    def target_reached(self) -> bool:
        """Whether a complete attempt reached the target."""
        better = self.total <= self.rules.target
        return self.complete and (
            better if self.rules.lower_is_better else self.total >= self.rules.target
        )


def drawn_stations(rules: Rules, seed: int = 0) -> tuple[Station, ...]:
    """The stations of one sitting in the order to play them; `seed` decides a drawn order."""
    if rules.order == "fixed":
        return rules.stations[: rules.draw]
    return tuple(random.Random(seed).sample(rules.stations, rules.draw))


def score(rules: Rules, balls: Sequence[Ball]) -> Attempt:
    """Total of one sitting. Raises: BadQuestion for a station twice, unknown or impossible."""
    stations = {station.number: station for station in rules.stations}
    seen: set[int] = set()
    scores = []
    for ball in balls:
        _check_station(rules, ball.station, stations, seen)
        seen.add(ball.station)
        scores.append(_score_ball(rules, stations[ball.station], ball))
    if len(seen) > rules.draw:
        raise BadQuestion(
            f"{rules.title} has {rules.draw} stations; {len(seen)} are scored.",
            "remove the scores that belong to another sitting",
        )
    total = sum(_worth(rules, one) for one in scores)
    missing = sorted(set(stations) - seen)[: rules.draw - len(seen)]
    return Attempt(rules, tuple(scores), tuple(missing), total)


def _check_station(
    rules: Rules, number: int, stations: Mapping[int, Station], seen: set[int]
) -> None:
    if number not in stations:
        raise BadQuestion(
            f"{rules.title} has no station {number}.", f"use 1 to {len(rules.stations)}"
        )
    if number in seen:
        raise BadQuestion(
            f"Station {number} is scored twice in this sitting.",
            "keep the score that was played, or start a new sitting",
        )


def _score_ball(rules: Rules, station: Station, ball: Ball) -> StationScore:
    if rules.measure == "strokes":
        _check_strokes(ball)
        return StationScore(ball, station, None, None)
    if rules.measure == "points":
        return StationScore(ball, station, _points(rules, ball), None)
    return StationScore(ball, station, None, _hit(rules, ball))


def _check_strokes(ball: Ball) -> None:
    if ball.strokes is None or not 1 <= ball.strokes <= MOST_STROKES:
        raise BadQuestion(
            f"Station {ball.station}: {ball.strokes} strokes cannot be.",
            f"give 1 to {MOST_STROKES} strokes, the chip included",
        )
    if ball.leave_m == 0 and ball.strokes != 1:
        raise BadQuestion(
            f"Station {ball.station}: a holed chip takes 1 stroke, not {ball.strokes}.",
            "correct the leave or the strokes",
        )


def _points(rules: Rules, ball: Ball) -> float:
    by_sight = [award for award in rules.awards if award.kind == "judged"]
    if len(ball.judged) != len(by_sight):
        raise BadQuestion(
            f"Station {ball.station}: {len(ball.judged)} of {len(by_sight)} judgements given.",
            "say yes or no to: " + "; ".join(award.what for award in by_sight),
        )
    total = sum(award.points for award, yes in zip(by_sight, ball.judged, strict=True) if yes)
    by_mark = [award for award in rules.awards if award.kind != "judged"]
    return total + sum(award.points for award in by_mark if _earned(award, ball))


def _earned(award: Award, ball: Ball) -> bool:
    leave = _leave(ball)
    if leave == 0 or award.kind == "holed":
        return leave == 0
    if award.kind == "within":
        return award.limit_m is not None and leave <= award.limit_m + 1e-9
    if ball.leave_bearing_deg is None:
        raise BadQuestion(
            f"Station {ball.station}: the bearing of the finish is missing.",
            "give it in degrees or as a clock hour, with straight below at 6 o'clock",
        )
    off = float(off_straight_below_deg(np.array(ball.leave_bearing_deg)))
    if award.kind == "below_hole":
        return off < 90
    return award.sector_deg is not None and off <= award.sector_deg


def _hit(rules: Rules, ball: Ball) -> bool:
    if ball.hit is not None:
        return ball.hit
    if rules.hit_within_m is None:
        raise BadQuestion(
            f"Station {ball.station}: hit or miss is not given.", "say whether the ball was a hit"
        )
    return _leave(ball) <= rules.hit_within_m + 1e-9


def _leave(ball: Ball) -> float:
    if ball.leave_m is None or not 0 <= ball.leave_m <= 60:
        raise BadQuestion(
            f"Station {ball.station}: a leave of {ball.leave_m} m cannot be.",
            "give the distance to the hole, 0 to 60 m (0 for a holed ball)",
        )
    return ball.leave_m


def _worth(rules: Rules, one: StationScore) -> float:
    if rules.measure == "strokes":
        return float(one.ball.strokes or 0)
    return float(one.points or 0) if rules.measure == "points" else float(bool(one.hit))
