"""Pairs two export files by themselves, without a store.

Local times are read as UTC on both sides and open questions take any answer: a wrong zone,
day or speed unit only shifts or scales a whole log, and pairing uses neither.
"""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TypedDict

import numpy as np
import polars as pl

from analytics.pairing import Pairing, pair
from analytics.pairing_logs import Floats, LaunchLog, SwingLog
from ingest.errors import NoLayout
from ingest.options import Options
from ingest.read_export import read_export
from ingest.reading import Question, Reading

UNKNOWN_DAY = "2000-01-01"
ROUNDS_OF_QUESTIONS, CHOICES = 4, 3


class StepDocument(TypedDict):
    """A sudden change of the offset."""

    launch_line: int
    size_s: float


class ClockDocument(TypedDict):
    """The clock map; offset_s = sensor clock − launch clock at the first shot."""

    offset_s: float
    drift_ppm: float
    steps: list[StepDocument]
    residual_s: float
    margin: float


class PairDocument(TypedDict):
    """A shot and its swing."""

    launch_line: int
    swing_line: int
    probability: float


class RehearsalDocument(TypedDict):
    """A rehearsal and the shot it was for; null where the launch log has no ball for it."""

    swing_line: int
    launch_line: int | None
    role: str
    probability: float


class OtherDocument(TypedDict):
    """A swing that belongs to no shot."""

    swing_line: int
    why: str


class UnpairedDocument(TypedDict):
    """A shot without a swing."""

    launch_line: int
    why: str


class PairingDocument(TypedDict):
    """Everything that was found; lines are physical lines of the two files."""

    verdict: str
    reason: str
    mend: str
    clock: ClockDocument | None
    rivals: list[dict[str, float]]
    pairs: list[PairDocument]
    rehearsals: list[RehearsalDocument]
    other: list[OtherDocument]
    unpaired: list[UnpairedDocument]


def pair_files(
    launch: Path,
    swings: Path,
    *,
    offset_hint_s: float | None = None,
    pins: tuple[tuple[int, int], ...] = (),
    forbids: tuple[tuple[int, int], ...] = (),
) -> PairingDocument:
    """Pair a launch export with a swing export.

    Args:
        offset_hint_s: sensor clock − launch clock as set by hand.
        pins, forbids: (launch line, swing line) that belong, or do not belong, together.

    Raises:
        IngestError: a file that cannot be read, or that is not of its kind.
        BadQuestion: a pin on a line that holds no shot or swing with a time.
    """
    shots = _read(launch, "launch", UNKNOWN_DAY)
    seen = _read(swings, "tempo", _day(shots, "struck_at_utc"))
    if _day(shots, "struck_at_utc") == UNKNOWN_DAY:
        shots = _read(launch, "launch", _day(seen, "swung_at_utc"))
    shot_line, swing_line = _lines(shots), _lines(seen)
    found = pair(
        launch_log(shots.table),
        swing_log(seen.table),
        pins=_rows(shot_line, swing_line, pins),
        forbids=_rows(shot_line, swing_line, forbids),
        offset_hint_s=offset_hint_s,
    )
    return _document(found, shots, shot_line, swing_line, seen)


def _day(reading: Reading, column: str) -> str:
    """The day of the first event, for a file that has clock times only."""
    if column not in reading.table.columns:
        return UNKNOWN_DAY
    first = reading.table[column].cast(pl.Datetime("us", "UTC")).min()
    return first.date().isoformat() if isinstance(first, datetime) else UNKNOWN_DAY


def _read(path: Path, kind: str, day: str) -> Reading:
    """The file read with every doubt settled; by the answers that set the fewest rows aside."""
    best = _answered(path, kind, day, 0)
    for choice in range(1, CHOICES):
        if not best.set_aside:
            break
        other = _answered(path, kind, day, choice)
        best = min(best, other, key=lambda reading: len(reading.set_aside))
    if best.kind != kind or best.outcome == "rejected":
        raise NoLayout(
            best.reason or f"this is no {kind} export.",
            best.mend or "check which file is which with `carrybook preview`.",
            file=path.name,
        )
    return best


def _answered(path: Path, kind: str, day: str, choice: int) -> Reading:
    """The file read with candidate number `choice` taken in questions about units."""
    options = Options(player_zone="UTC", kind="launch" if kind == "launch" else "tempo")
    reading = read_export(path, name=path.name, options=options)
    for _ in range(ROUNDS_OF_QUESTIONS):
        answers = {
            question.id: answer
            for question in reading.questions
            if (answer := _any_answer(question, day, choice)) is not None
        }
        if not set(answers) - set(options.answers):
            break
        options = replace(options, answers={**options.answers, **answers})
        reading = read_export(path, name=path.name, options=options)
    return reading


def _any_answer(question: Question, day: str, choice: int) -> str | None:
    """Any answer at all: none of them changes rhythm or order."""
    if question.candidates:
        place = choice if question.kind == "unit" else 0
        return question.candidates[min(place, len(question.candidates) - 1)]
    return {"day": day, "start": f"{day}T00:00:00Z"}.get(question.kind)


def _lines(reading: Reading) -> list[int]:
    return [int(line) for line in reading.table["source_line"]] if reading.table.height else []


def launch_log(table: pl.DataFrame) -> LaunchLog:
    """The launch log of rows in canonical columns."""
    return LaunchLog(
        seconds(table, "struck_at_utc"),
        numbers(table, "ball_speed_mps"),
        numbers(table, "club_speed_mps"),
        numbers(table, "carry_m"),
    )


def swing_log(table: pl.DataFrame) -> SwingLog:
    """The swing log of rows in canonical columns."""
    return SwingLog(
        seconds(table, "swung_at_utc"),
        numbers(table, "peak_speed_mps"),
        numbers(table, "backswing_s"),
        numbers(table, "downswing_s"),
    )


def seconds(table: pl.DataFrame, column: str) -> Floats:
    """Seconds since 1970; nan where there is no instant."""
    if column not in table.columns:
        return np.full(table.height, np.nan)
    whole = table[column].cast(pl.Datetime("us", "UTC")).dt.timestamp("us")
    return np.asarray(whole.cast(pl.Float64).fill_null(float("nan")).to_numpy() / 1e6)


def numbers(table: pl.DataFrame, column: str) -> Floats:
    """The column as floats; nan where there is none."""
    if column not in table.columns:
        return np.full(table.height, np.nan)
    return np.asarray(table[column].cast(pl.Float64).fill_null(float("nan")).to_numpy())


def _rows(
    shot_line: list[int], swing_line: list[int], lines: tuple[tuple[int, int], ...]
) -> list[tuple[int, int]]:
    """Rows of these lines; a line that holds none becomes −1, which the pairing refuses."""
    shot_at = {line: row for row, line in enumerate(shot_line)}
    swing_at = {line: row for row, line in enumerate(swing_line)}
    return [(shot_at.get(a, -1), swing_at.get(b, -1)) for a, b in lines]


def _document(
    found: Pairing,
    shots: Reading,
    shot_line: list[int],
    swing_line: list[int],
    seen: Reading,
) -> PairingDocument:
    other = [OtherDocument(swing_line=swing_line[row], why=why) for row, why in found.other]
    other += [
        OtherDocument(swing_line=repeat.line, why=f"repeats line {repeat.of_line}")
        for repeat in seen.repeats
    ]
    other += [
        OtherDocument(swing_line=line, why=f"not read: {reason}")
        for line, reason in _set_aside(seen, {one["swing_line"] for one in other})
    ]
    return PairingDocument(
        verdict=found.verdict,
        reason=found.reason,
        mend=found.mend,
        clock=_clock(found, shots.table, shot_line),
        rivals=[
            {"offset_s": round(one.offset_s, 3), "log_evidence": round(one.log_evidence, 2)}
            for one in found.rivals
        ],
        pairs=[
            PairDocument(
                launch_line=shot_line[one.shot],
                swing_line=swing_line[one.swing],
                probability=round(one.probability, 4),
            )
            for one in found.pairs
        ],
        rehearsals=[
            RehearsalDocument(
                swing_line=swing_line[one.swing],
                launch_line=None if one.shot is None else shot_line[one.shot],
                role=one.role,
                probability=round(one.probability, 4),
            )
            for one in found.rehearsals
        ],
        other=sorted(other, key=lambda one: one["swing_line"]),
        unpaired=sorted(_unpaired(found, shots, shot_line), key=lambda one: one["launch_line"]),
    )


def _unpaired(found: Pairing, shots: Reading, shot_line: list[int]) -> list[UnpairedDocument]:
    why = [(shot_line[row], why) for row, why in found.unpaired]
    why += [(repeat.line, f"repeats line {repeat.of_line}") for repeat in shots.repeats]
    why += [(line, f"not read: {reason}") for line, reason in _set_aside(shots, set())]
    return [UnpairedDocument(launch_line=line, why=reason) for line, reason in why]


def _set_aside(reading: Reading, known: set[int]) -> list[tuple[int, str]]:
    """Lines that hold a row which could not be read, with the first reason."""
    known = known | set(_lines(reading))
    reasons: dict[int, str] = {}
    for row in reading.set_aside:
        if row.line not in known:
            reasons.setdefault(row.line, row.reason)
    return list(reasons.items())


def _clock(found: Pairing, shots: pl.DataFrame, shot_line: list[int]) -> ClockDocument | None:
    if found.clock is None:
        return None
    times = seconds(shots, "struck_at_utc")
    steps = [
        StepDocument(
            launch_line=shot_line[int(np.nanargmin(np.abs(times - step.at_s)))],
            size_s=round(step.size_s, 4),
        )
        for step in found.clock.steps
    ]
    return ClockDocument(
        offset_s=round(found.clock.offset_s, 4),
        drift_ppm=round(found.clock.drift_ppm, 3),
        steps=steps,
        residual_s=round(found.clock.residual_s, 4),
        margin=round(found.clock.margin, 2),
    )
