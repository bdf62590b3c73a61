"""Which event a row is: an identity from content, equal for the same event in any export.

Rules
-----
1. An instant that no other row of the file has, with the device's own number, identifies an event:
   a re-export that grew, or one with a mended value, names the same events again.
2. Where instants do not tell rows apart (missing, or a date without a time) the measured values
   belong to the identity as well: two sessions that both count from 1 never meet.
3. Rows equal in all of this are told apart by their occurrence in the file, so two real equal
   shots stay two.
"""

import hashlib
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import polars as pl
import pyarrow as pa
from numpy.typing import NDArray

from schemas.tables import columns

Hashes = NDArray[np.uint64]

INSTANT = {
    "shots": "struck_at_utc",
    "swings": "swung_at_utc",
    "marks": "marked_at_utc",
    "scores": "scored_at_utc",
    "sessions": "day",
    "homework": "said_at_utc",
}
NUMBER = {
    "shots": "device_number",
    "swings": "device_number",
    "marks": "ball_number",
    "scores": "station",
    "sessions": "place",
    "homework": "homework_id",
}
BOOKKEEPING = frozenset({"event_id", "import_id", "source_line", "occurrence", "extra", "note"})

# Multipliers of the splitmix64 finaliser (Steele, Lea & Flood 2014, Fast splittable pseudorandom
# number generators): a public, fixed recipe, so that identities outlive libraries.
GOLDEN = np.uint64(0x9E3779B97F4A7C15)
MIX_1 = np.uint64(0xBF58476D1CE4E5B9)
MIX_2 = np.uint64(0x94D049BB133111EB)
VALUE_STEP = 1e-6
SHORT = 2000
"""Rows up to which plain loops are quicker than vectorised queries."""


def identify(frame: pl.DataFrame, table: str, values: Hashes | None = None) -> pl.DataFrame:
    """`frame` (rows of `table`, in file order) with its `event_id` and `occurrence` columns.

    `values` are its `value_hashes`, where the caller has them already.
    """
    if frame.is_empty():
        return frame.with_columns(
            event_id=pl.lit(None, pl.String), occurrence=pl.lit(None, pl.Int64)
        )
    values = value_hashes(frame, table) if values is None else values
    keys = event_keys(frame, table, values, _alone(frame, table))
    occurrence = occurrences(keys)
    ids = ids_of(keys, occurrence)
    found = [as_hex(ids), pl.Series("occurrence", occurrence)]
    given = [series for series in frame if series.name not in {"event_id", "occurrence"}]
    return pl.DataFrame([*given, *found])


def value_hashes(frame: pl.DataFrame, table: str) -> Hashes:
    """One hash a row over all measured values: equal rows, equal hashes. Shape (n,).

    A column that is absent counts as one whose cells are all missing.
    """
    names = [n for n in columns(table) if n not in BOOKKEEPING and n in frame.columns]
    return _hash_columns(frame, names)


def event_keys(
    frame: pl.DataFrame, table: str, values: Hashes | None, alone: NDArray[np.bool_]
) -> Hashes:
    """What each row is recognised by: instant and number where its instant stands alone in the
    file, and the measured values as well where it does not. Shape (n,).

    `values` are the frame's `value_hashes`; without them they are found, if any row needs them.
    """
    names = [name for name in (INSTANT[table], NUMBER[table]) if name in frame.columns]
    named = _hash_columns(frame, names)
    if alone.all():
        return named
    values = value_hashes(frame, table) if values is None else values
    return np.where(alone, named, _mix(named ^ values))


def occurrences(keys: Hashes) -> NDArray[np.int64]:
    """How many earlier rows have the same key. Shape (n,)."""
    found = np.zeros(len(keys), dtype=np.int64)
    series = pl.Series("key", keys)
    if series.n_unique() < len(keys):  # counting is slow, and nearly always there is nothing to do
        rows = series.is_duplicated().arg_true()
        seen = series.gather(rows).to_frame().select(pl.int_range(pl.len()).over("key"))
        found[rows.to_numpy()] = seen.to_series().to_numpy()
    return found


def ids_of(keys: Hashes, occurrence: NDArray[np.int64]) -> Hashes:
    """Identities from keys and how often each was seen before. Shape (n,)."""
    return _mix(keys ^ occurrence.astype(np.uint64))


def as_hex(ids: Hashes) -> pl.Series:
    """Identities as 16 hex digits."""
    if len(ids) <= SHORT:
        digits = ids.byteswap().tobytes().hex()
        texts = [digits[at : at + 16] for at in range(0, len(digits), 16)]
        return pl.Series("event_id", texts, dtype=pl.String)
    buffer = pa.py_buffer(np.ascontiguousarray(ids.byteswap()).tobytes())
    binary = pa.FixedSizeBinaryArray.from_buffers(pa.binary(8), len(ids), [None, buffer])
    return pl.Series("event_id", binary.cast(pa.binary())).bin.encode("hex")


def _alone(frame: pl.DataFrame, table: str) -> NDArray[np.bool_]:
    if INSTANT[table] not in frame.columns or table == "scores":
        return np.zeros(frame.height, dtype=bool)
    instant = frame.get_column(INSTANT[table])
    if not instant.null_count() and instant.n_unique() == frame.height:
        return np.ones(frame.height, dtype=bool)
    return (instant.is_unique() & instant.is_not_null()).to_numpy()


def _hash_columns(frame: pl.DataFrame, names: Sequence[str]) -> Hashes:
    total: Hashes = np.full(frame.height, GOLDEN, dtype=np.uint64)
    for name in names:
        column = frame.get_column(name)
        if column.null_count() == len(column):
            continue
        part = _mix(_hash_cells(column) ^ np.uint64(_hash_text(name)))
        if column.null_count():
            part[column.is_null().to_numpy()] = 0
        total += part
    return _mix(total)


def _hash_cells(column: pl.Series) -> Hashes:
    """A hash of each cell; what stands for a missing one is of no account."""
    if column.dtype == pl.String:
        return _hash_texts(column)
    if column.dtype.is_float():
        numbers = column.fill_null(0.0) if column.null_count() else column
        cells = np.round(numbers.to_numpy() / VALUE_STEP)
    else:
        whole = column.to_physical()
        cells = (whole.cast(pl.Int64).fill_null(0) if column.null_count() else whole).to_numpy()
    return _mix(cells.astype(np.int64).view(np.uint64))


def _hash_texts(column: pl.Series) -> Hashes:
    if len(column) <= SHORT:
        return np.array([_hash_text(text or "") for text in column.to_list()], np.uint64)
    encoded = column.to_arrow().fill_null("").dictionary_encode()
    table = np.array([_hash_text(text) for text in encoded.dictionary.to_pylist()], np.uint64)
    hashed: Hashes = table[encoded.indices.to_numpy()]
    return hashed


@lru_cache(maxsize=4096)
def _hash_text(text: str) -> int:
    return int.from_bytes(hashlib.blake2b(text.encode(), digest_size=8).digest(), "little")


def _mix(value: Hashes) -> Hashes:
    value = (value ^ (value >> np.uint64(30))) * MIX_1
    value = (value ^ (value >> np.uint64(27))) * MIX_2
    mixed: Hashes = value ^ (value >> np.uint64(31))
    return mixed
