"""Identities of the events of a file that is read piece by piece.

The same identities as `ingest.identity` gives to the whole file. Where instants never go back,
whether an instant stands alone is seen from its neighbours, so one piece held back is enough.
Anything else needs a first round over the whole file that keeps 24 bytes a row.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ingest.identity import INSTANT, Hashes, as_hex, event_keys, ids_of, occurrences, value_hashes

NONE = np.iinfo(np.int64).min


class InstantsGoBackError(Exception):
    """An instant is missing or earlier than the one before: a first round is needed."""


@dataclass(frozen=True)
class WholeFile:
    """What a first round over the file found: identity and occurrence of every row, in order."""

    ids: Hashes
    occurrence: NDArray[np.int64]


def identify_in_order(frames: Iterable[pl.DataFrame], table: str) -> Iterator[pl.DataFrame]:
    """Each frame with its identities.

    Raises:
        InstantsGoBackError: before the piece that shows it is given out.
    """
    held: pl.DataFrame | None = None
    last_before = NONE
    for frame in frames:
        if frame.is_empty():
            continue
        if held is not None:
            first_after = _instants(frame, table)[0]
            yield _identified(held, table, last_before, first_after)
            last_before = _instants(held, table)[-1]
        held = frame
    if held is not None:
        yield _identified(held, table, last_before, NONE)


def first_round(frames: Iterable[pl.DataFrame], table: str) -> WholeFile:
    """Identities of a file whose instants do not tell their order; keeps 24 bytes a row."""
    instants, named, valued = [], [], []
    for frame in frames:
        values = value_hashes(frame, table)
        everywhere = np.ones(frame.height, dtype=bool)
        instants.append(_instants_or_none(frame, table))
        named.append(event_keys(frame, table, values, everywhere))
        valued.append(event_keys(frame, table, values, ~everywhere))
    when = np.concatenate(instants)
    _, where, count = np.unique(when, return_inverse=True, return_counts=True)
    alone = (count[where] == 1) & (when != NONE)
    keys = np.where(alone, np.concatenate(named), np.concatenate(valued))
    occurrence = occurrences(keys)
    return WholeFile(ids_of(keys, occurrence), occurrence)


def identify_by_round(frames: Iterable[pl.DataFrame], whole: WholeFile) -> Iterator[pl.DataFrame]:
    """Each frame of the second round with the identities of the first."""
    at = 0
    for frame in frames:
        part = slice(at, at + frame.height)
        at += frame.height
        yield _with_ids(frame, whole.ids[part], whole.occurrence[part])


def _identified(frame: pl.DataFrame, table: str, before: int, after: int) -> pl.DataFrame:
    when = np.concatenate([[before], _instants(frame, table), [after]])
    steps = np.diff(when)
    inner = steps[1 if before == NONE else 0 : len(steps) - (after == NONE)]
    if (inner < 0).any():
        raise InstantsGoBackError
    same_as_next = steps == 0
    alone = ~(same_as_next[:-1] | same_as_next[1:])
    if same_as_next[0] or same_as_next[-1]:
        raise InstantsGoBackError  # equal instants across a border: occurrences need both sides
    keys = event_keys(frame, table, None, alone)
    occurrence = occurrences(keys)
    return _with_ids(frame, ids_of(keys, occurrence), occurrence)


def _instants(frame: pl.DataFrame, table: str) -> NDArray[np.int64]:
    when = _instants_or_none(frame, table)
    if (when == NONE).any():
        raise InstantsGoBackError
    return when


def _instants_or_none(frame: pl.DataFrame, table: str) -> NDArray[np.int64]:
    if INSTANT[table] not in frame.columns or table == "scores":
        return np.full(frame.height, NONE, dtype=np.int64)
    series = frame.get_column(INSTANT[table])
    return series.to_physical().cast(pl.Int64).fill_null(NONE).to_numpy()


def _with_ids(frame: pl.DataFrame, ids: Hashes, occurrence: NDArray[np.int64]) -> pl.DataFrame:
    return frame.with_columns(event_id=as_hex(ids), occurrence=pl.Series(occurrence))
