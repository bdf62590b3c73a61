"""Scored tests between the reader and the store: sheet, entry, history in words."""

import secrets
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from analytics.db import open_store
from analytics.errors import BadQuestion
from analytics.scored_rules import find_rules, known_rules
from analytics.scored_test import Attempt, Rules, Station, drawn_stations
from analytics.scores import ScoreHistory, played_tests, score_history
from api.entries import Entered, enter_rows, moment
from api.score_entry import score_rows, sitting
from ingest.players import Player

BEST_SHOWN = 3


class Telling(Protocol):
    """Something told both ways: as JSON and in words."""

    def document(self) -> dict[str, object]:
        """As JSON tells it."""

    def lines(self) -> Iterator[str]:
        """In words."""


@dataclass(frozen=True)
class Sheet:
    """The stations of one sitting, in the order to play them."""

    rules: Rules
    stations: tuple[Station, ...]

    def document(self) -> dict[str, object]:
        """The sheet as JSON tells it."""
        return {"test": self.rules.key, "stations": [asdict(one) for one in self.stations]}

    def lines(self) -> Iterator[str]:
        """The stations to play with room for the score, and what earns points."""
        yield f"{self.rules.title}: {self.rules.measure}, target {self.rules.target:g}"
        for place, station in enumerate(self.stations, start=1):
            yield f"  {place:>2}. station {station.number}: {station.text}  ____"
        for award in self.rules.awards:
            yield f"  {award.points:g} for {award.words}"


@dataclass(frozen=True)
class Taken:
    """A sitting just entered."""

    attempt: Attempt
    entered: Entered

    def document(self) -> dict[str, object]:
        """The sitting as JSON tells it."""
        return {
            **self.entered.document(),
            "test": self.attempt.rules.key,
            "total": self.attempt.total,
            "complete": self.attempt.complete,
            "target_reached": self.attempt.target_reached,
        }

    def lines(self) -> Iterator[str]:
        """The sitting in words."""
        rules = self.attempt.rules
        said = f"{rules.title}: {self.attempt.total:g} {rules.measure}, target {rules.target:g}"
        if not self.attempt.complete:
            missing = ", ".join(map(str, self.attempt.open_stations))
            said += f"; stations {missing} still open, so it is not compared"
        yield said + "."
        yield from self.entered.lines()


@dataclass(frozen=True)
class Told:
    """The history of one test, ready to be told."""

    player_id: str
    history: ScoreHistory

    def document(self) -> dict[str, object]:
        """The history as JSON tells it."""
        history = self.history
        stations, chance = history.stations, history.target_chance
        return {
            "player_id": self.player_id,
            "test": history.rules.key,
            "title": history.rules.title,
            "measure": history.rules.measure,
            "target": history.rules.target,
            "sittings": [asdict(one) for one in history.sittings],
            "left_out": [asdict(one) for one in history.left_out],
            "noise_sd": history.noise.sd,
            "real_change": history.noise.real_change,
            "change": asdict(history.change),
            "target_chance": None if chance is None else asdict(chance),
            "stations": None if stations is None else asdict(stations),
        }

    def lines(self) -> Iterator[str]:
        """The history in words: totals, the real-change line, the target, the worst stations."""
        history = self.history
        rules = history.rules
        yield f"{rules.title} ({rules.measure}, target {rules.target:g})"
        for one in history.sittings:
            yield f"  {one.day}: {one.total:g}"
        for out in history.left_out:
            yield f"  left out {out.attempt_id}: {out.reason}"
        yield f"  last against the one before: {change_words(history)}"
        yield from _target_lines(history)
        yield from _station_lines(history)


def change_words(history: ScoreHistory) -> str:
    """What the last sitting says against the one before, with the real-change line."""
    change = history.change
    line = f"two tests differ for sure only from {change.real_change:g} on"
    if change.verdict == "too early":
        return f"too early, one sitting; {line}"
    return f"{change.difference:+g}, {change.verdict}; {line}"


def _target_lines(history: ScoreHistory) -> Iterator[str]:
    chance = history.target_chance
    if chance is None or chance.value is None or chance.low is None or chance.high is None:
        return
    state = chance.state.replace("_", " ") + (f": {chance.need}" if chance.need else "")
    yield (
        f"  chance to reach {history.rules.target:g} next time: {chance.value:.0%}"
        f" ({chance.low:.0%} to {chance.high:.0%}) [{state}]"
    )


def _station_lines(history: ScoreHistory) -> Iterator[str]:
    if history.stations is None:
        return
    if not history.stations.any_real:
        yield "  stations: no difference beyond luck yet; the list below is mostly luck"
    for one in history.stations.stations[:BEST_SHOWN]:
        yield (
            f"  station {one.station} ({one.text}): seen {one.seen:.2f},"
            f" expect {one.expected:.2f} ± {one.expected_sd:.2f} next time"
        )


def sheet_of(
    store: Path, who: Player, test: str, own_folder: Path | None = None, *, seed: int = 0
) -> Sheet:
    """The sheet of a test: its stations, drawn by `seed` where the rules draw them."""
    rules = find_rules(test, known_rules(store, who.coach, own_folder))
    return Sheet(rules, drawn_stations(rules, seed))


def take_sitting(
    store: Path,
    who: Player,
    test: str,
    words: Sequence[str],
    own_folder: Path | None = None,
    *,
    seed: int = 0,
    at: datetime | None = None,
    partial: bool = False,
) -> Taken:
    """Keep one sitting. Raises: BadQuestion for scores that cannot be, or stations missing."""
    rules = find_rules(test, known_rules(store, who.coach, own_folder))
    order = [station.number for station in drawn_stations(rules, seed)]
    attempt = sitting(rules, words, order)
    if not attempt.complete and not partial:
        missing = ", ".join(map(str, attempt.open_stations))
        raise BadQuestion(
            f"{rules.title}: stations {missing} have no score.",
            "give every station a score, or add --partial to keep the sitting as it is",
        )
    when = moment(who, at)
    rows = score_rows(attempt, f"{when:%Y%m%dT%H%M%SZ}-{secrets.token_hex(3)}", when)
    return Taken(attempt, enter_rows(store, who, "scores", rows))


def history_of(
    store: Path, who: Player, test: str | None, own_folder: Path | None = None
) -> list[Told]:
    """The history of one test, or of every test the player has played."""
    known = known_rules(store, who.coach, own_folder)
    connection = open_store(store, who.player_id)
    try:
        played = played_tests(connection, who.player_id)
        wanted = [find_rules(test, known)] if test else _known(played, known)
        return [
            Told(who.player_id, score_history(connection, who.player_id, rules)) for rules in wanted
        ]
    finally:
        connection.close()


def _known(played: Sequence[str], known: dict[str, Rules]) -> list[Rules]:
    missing = [key for key in played if key not in known]
    if missing:
        raise BadQuestion(
            f"The rules of {', '.join(missing)} are not here.",
            "keep them with `carrybook tests add FILE`, or name their folder with --rules",
        )
    return [known[key] for key in played]
