"""Pairs export files by themselves, without a store.

Local times are read as UTC on both sides and open questions take any answer: a wrong zone,
day or speed unit only shifts or scales a whole log, and pairing uses neither.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np
import polars as pl

from analytics.pairing import pair
from analytics.pairing_logs import Floats, LaunchLog, SwingLog
from api.pair_document import FileLine, LoggedRows, PairingDocument, document
from ingest.errors import NoLayout
from ingest.options import Options
from ingest.read_export import read_export
from ingest.reading import Question, Reading

UNKNOWN_DAY = "2000-01-01"
ROUNDS_OF_QUESTIONS, CHOICES = 4, 3


def pair_files(
    launch: Sequence[Path],
    swings: Sequence[Path],
    *,
    offset_hint_s: float | None = None,
    pins: tuple[tuple[int, int], ...] = (),
    forbids: tuple[tuple[int, int], ...] = (),
) -> PairingDocument:
    """Pair launch exports with swing exports of one session; usually one of each.

    Args:
        offset_hint_s: sensor clock − launch clock as set by hand.
        pins, forbids: (launch line, swing line) that belong, or do not belong, together; of the
            first files where a side has several.

    Raises:
        IngestError: a file that cannot be read, or that is not of its kind.
        BadQuestion: a pin on a line that holds no shot or swing with a time.
    """
    shots = _gather(launch, "launch", UNKNOWN_DAY)
    seen = _gather(swings, "tempo", _day(shots.table, "struck_at_utc"))
    if _day(shots.table, "struck_at_utc") == UNKNOWN_DAY:
        shots = _gather(launch, "launch", _day(seen.table, "swung_at_utc"))
    log = launch_log(shots.table)
    found = pair(
        log,
        swing_log(seen.table),
        pins=_rows(shots.at, seen.at, pins),
        forbids=_rows(shots.at, seen.at, forbids),
        offset_hint_s=offset_hint_s,
    )
    return document(found, shots, seen, log.times_s)


def _gather(paths: Sequence[Path], kind: str, day: str) -> LoggedRows:
    """The rows of all files of one side."""
    readings = [_read(path, kind, day) for path in paths]
    names = [path.name if len(paths) > 1 else "" for path in paths]
    at, left = [], []
    for name, reading in zip(names, readings, strict=True):
        lines = [int(line) for line in reading.table["source_line"]] if reading.table.height else []
        at += [FileLine(name, line) for line in lines]
        why = {row.line: f"not read: {row.reason}" for row in reversed(reading.set_aside)}
        why |= {repeat.line: f"repeats line {repeat.of_line}" for repeat in reading.repeats}
        left += [(FileLine(name, line), told) for line, told in why.items() if line not in lines]
    table = pl.concat([reading.table for reading in readings], how="diagonal_relaxed")
    return LoggedRows(table, tuple(at), tuple(left))


def _day(table: pl.DataFrame, column: str) -> str:
    """The day of the first event, for a file that has clock times only."""
    if column not in table.columns:
        return UNKNOWN_DAY
    first = table[column].cast(pl.Datetime("us", "UTC")).min()
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
    shots: Sequence[FileLine], swings: Sequence[FileLine], lines: tuple[tuple[int, int], ...]
) -> list[tuple[int, int]]:
    """Rows of these lines; a line that holds none becomes −1, which the pairing refuses."""
    shot_at = {at.line: row for row, at in reversed(list(enumerate(shots)))}
    swing_at = {at.line: row for row, at in reversed(list(enumerate(swings)))}
    return [(shot_at.get(a, -1), swing_at.get(b, -1)) for a, b in lines]
