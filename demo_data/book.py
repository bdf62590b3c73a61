"""All sessions turned into files, with every planted fault in its place; pure, nothing is written.

Planted faults: one file in yards, one with decimal commas, one export taken twice as it grew, a
sensor clock left on the old time, seven rows under the wrong player, two real balls with the same
values, mishits and a wet week (both in the simulation).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from demo_data.cast import PLAYERS, SEED, WEEKS, Player, day_of, player
from demo_data.clock import local_time, sensor_offset_s
from demo_data.ground import marks
from demo_data.launch_files import METRIC, YARDS, Ball, Export, launch_export
from demo_data.scored_tests import attempt
from demo_data.session import Session, simulate
from demo_data.sheet_files import marks_sheet, scores_sheet, sensor_export, sessions_sheet

YARDS_AT = ("Petra", 2)
COMMA_AT = ("Lio", 4)
OVERLAP_AT = ("Wilma", 3)
OVERLAP_ROWS = 30
TWIN_AT = ("Lio", 6)
TWIN_BALLS = (21, 22)
FOREIGN_OWNER = "Arne"
FOREIGN_HOST = "Tobias"
FOREIGN_WEEK = 1
FOREIGN_ROWS = 7


@dataclass(frozen=True)
class File:
    """One file to write: where, of which kind, whose, and its text."""

    path: str
    kind: str
    player: Player
    text: str


@dataclass(frozen=True)
class LaunchFile:
    """A launch export with what the truth file needs to know of its rows."""

    path: str
    balls: tuple[Ball, ...]
    owners: tuple[Player, ...]
    export: Export


@dataclass(frozen=True)
class Day:
    """One player's session with its files."""

    session: Session
    launch: tuple[LaunchFile, ...]
    sensor_path: str
    sensor: Export
    sensor_offset_s: float
    marks: File


@dataclass(frozen=True)
class Book:
    """The whole demo: the sessions and every file but the truth."""

    seed: int
    days: tuple[Day, ...]
    files: tuple[File, ...]


def make_book(seed: int = SEED) -> Book:
    """Every session and file of the demo; the same for the same seed."""
    sessions = {
        (one.name, week): _session(one, week, seed) for week in range(WEEKS) for one in PLAYERS
    }
    days = tuple(_day(session, sessions, seed) for session in sessions.values())
    files = [file for day in days for file in _day_files(day)]
    for one in PLAYERS:
        tests = [attempt(one, week, seed) for week in range(WEEKS)]
        folder = one.name.lower()
        files.insert(0, File(f"{folder}/sessions.jsonl", "sessions", one, sessions_sheet(one)))
        files.append(File(f"{folder}/scores.csv", "scores", one, scores_sheet(one, tests)))
    return Book(seed, days, tuple(files))


def _session(one: Player, week: int, seed: int) -> Session:
    lent = (one.name, week) == (FOREIGN_OWNER, FOREIGN_WEEK)
    session = simulate(one, week, seed, ladder_last=lent)
    return _with_twin(session) if (one.name, week) == TWIN_AT else session


def _with_twin(session: Session) -> Session:
    """Two neighbouring balls with the same measured values: both real, only the times differ."""
    first, second = TWIN_BALLS
    model = session.shots[first - 1]
    other = session.shots[second - 1]
    twin = replace(model, ball=other.ball, at_s=other.at_s)
    shots = tuple(twin if shot.ball == second else shot for shot in session.shots)
    return replace(session, shots=shots)


def _balls(session: Session) -> list[Ball]:
    return [
        Ball(shot.ball, local_time(session.player, session.week, shot.at_s), shot)
        for shot in session.shots
    ]


def _day(session: Session, sessions: dict[tuple[str, int], Session], seed: int) -> Day:
    one, week = session.player, session.week
    stem = f"{one.name.lower()}/{day_of(week):%Y-%m-%d}"
    offset_s = sensor_offset_s(one, week, seed)
    sheet = marks_sheet(session, marks(session, seed)).text
    return Day(
        session=session,
        launch=tuple(_launch_files(session, sessions, stem)),
        sensor_path=f"{stem}_tempo.csv",
        sensor=sensor_export(session, offset_s),
        sensor_offset_s=offset_s,
        marks=File(f"{stem}_marks.csv", "marks", one, sheet),
    )


def _launch_files(
    session: Session, sessions: dict[tuple[str, int], Session], stem: str
) -> list[LaunchFile]:
    one, where = session.player, (session.player.name, session.week)
    balls = _balls(session)
    owners = [one] * len(balls)
    if where == (FOREIGN_OWNER, FOREIGN_WEEK):
        balls, owners = balls[FOREIGN_ROWS:], owners[FOREIGN_ROWS:]
    if where == (FOREIGN_HOST, FOREIGN_WEEK):
        balls += _balls(sessions[FOREIGN_OWNER, FOREIGN_WEEK])[:FOREIGN_ROWS]
        owners += [player(FOREIGN_OWNER)] * FOREIGN_ROWS
    if where == OVERLAP_AT:
        early = _launch_file(f"{stem}_launch_early.csv", one, balls[:OVERLAP_ROWS], owners)
        return [early, _launch_file(_launch_path(where), one, balls, owners)]
    return [_launch_file(_launch_path(where), one, balls, owners)]


def _launch_file(
    path: str, one: Player, balls: Sequence[Ball], owners: Sequence[Player]
) -> LaunchFile:
    units = YARDS if path == _launch_path(YARDS_AT) else METRIC
    decimal = "," if path == _launch_path(COMMA_AT) else "."
    export = launch_export(one, balls, units, decimal)
    return LaunchFile(path, tuple(balls), tuple(owners[: len(balls)]), export)


def _launch_path(where: tuple[str, int]) -> str:
    name, week = where
    return f"{name.lower()}/{day_of(week):%Y-%m-%d}_launch.csv"


def _day_files(day: Day) -> list[File]:
    one = day.session.player
    files = [File(file.path, "launch", one, file.export.text) for file in day.launch]
    files.append(File(day.sensor_path, "tempo", one, day.sensor.text))
    return [*files, day.marks]
