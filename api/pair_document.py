"""What pairing two logs without a store says, as one document: lines of files instead of rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NotRequired, TypedDict

import numpy as np
import polars as pl

from analytics.pairing import Pairing
from analytics.pairing_logs import Floats


@dataclass(frozen=True)
class FileLine:
    """A physical line of a file; the name is empty where a side has one file only."""

    file: str
    line: int


@dataclass(frozen=True)
class LoggedRows:
    """One side: the rows of its files in canonical columns, the line of each, and other lines.

    left: lines that hold a row which takes no part, with why.
    """

    table: pl.DataFrame
    at: tuple[FileLine, ...]
    left: tuple[tuple[FileLine, str], ...] = ()


class StepDocument(TypedDict):
    """A sudden change of the offset."""

    launch_line: int
    launch_file: NotRequired[str]
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
    launch_file: NotRequired[str]
    swing_line: int
    swing_file: NotRequired[str]
    probability: float


class RehearsalDocument(TypedDict):
    """A rehearsal and the shot it was for; null where the launch log has no ball for it."""

    swing_line: int
    swing_file: NotRequired[str]
    launch_line: int | None
    launch_file: NotRequired[str]
    role: str
    probability: float


class OtherDocument(TypedDict):
    """A swing that belongs to no shot."""

    swing_line: int
    swing_file: NotRequired[str]
    why: str


class UnpairedDocument(TypedDict):
    """A shot without a swing."""

    launch_line: int
    launch_file: NotRequired[str]
    why: str


class PairingDocument(TypedDict):
    """Everything that was found; lines are physical lines of the files.

    Where a side has several files, `launch_file` or `swing_file` says which.
    """

    verdict: str
    reason: str
    mend: str
    clock: ClockDocument | None
    rivals: list[dict[str, float]]
    pairs: list[PairDocument]
    rehearsals: list[RehearsalDocument]
    other: list[OtherDocument]
    unpaired: list[UnpairedDocument]


def document(
    found: Pairing, shots: LoggedRows, swings: LoggedRows, struck_s: Floats
) -> PairingDocument:
    """The pairing told by lines; `struck_s` are the shots' times, seconds, shape (n,)."""
    other = [(swings.at[row], why) for row, why in found.other] + list(swings.left)
    unpaired = [(shots.at[row], why) for row, why in found.unpaired] + list(shots.left)
    return PairingDocument(
        verdict=found.verdict,
        reason=found.reason,
        mend=found.mend,
        clock=_clock(found, shots.at, struck_s),
        rivals=[
            {"offset_s": round(one.offset_s, 3), "log_evidence": round(one.log_evidence, 2)}
            for one in found.rivals
        ],
        pairs=[
            PairDocument(
                **_shot(shots.at[one.shot]),
                **_swing(swings.at[one.swing]),
                probability=round(one.probability, 4),
            )
            for one in found.pairs
        ],
        rehearsals=[
            RehearsalDocument(
                **_swing(swings.at[one.swing]),
                **_of_shot(None if one.shot is None else shots.at[one.shot]),
                role=one.role,
                probability=round(one.probability, 4),
            )
            for one in found.rehearsals
        ],
        other=[OtherDocument(**_swing(at), why=why) for at, why in _in_order(other)],
        unpaired=[UnpairedDocument(**_shot(at), why=why) for at, why in _in_order(unpaired)],
    )


class _Shot(TypedDict):
    launch_line: int
    launch_file: NotRequired[str]


class _OfShot(TypedDict):
    launch_line: int | None
    launch_file: NotRequired[str]


class _Swing(TypedDict):
    swing_line: int
    swing_file: NotRequired[str]


def _shot(at: FileLine) -> _Shot:
    found = _Shot(launch_line=at.line)
    return _Shot(**found, launch_file=at.file) if at.file else found


def _of_shot(at: FileLine | None) -> _OfShot:
    if at is None:
        return _OfShot(launch_line=None)
    found = _OfShot(launch_line=at.line)
    return _OfShot(**found, launch_file=at.file) if at.file else found


def _swing(at: FileLine) -> _Swing:
    found = _Swing(swing_line=at.line)
    return _Swing(**found, swing_file=at.file) if at.file else found


def _in_order(rows: Sequence[tuple[FileLine, str]]) -> list[tuple[FileLine, str]]:
    return sorted(rows, key=lambda row: (row[0].file, row[0].line))


def _clock(found: Pairing, at: Sequence[FileLine], struck_s: Floats) -> ClockDocument | None:
    if found.clock is None:
        return None
    steps = [
        StepDocument(
            **_shot(at[int(np.nanargmin(np.abs(struck_s - step.at_s)))]),
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
