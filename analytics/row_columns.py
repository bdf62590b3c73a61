"""Columns of an Arrow table as numpy arrays, nulls made NaN, false or None."""

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray


def numbers(table: pa.Table, name: str) -> NDArray[np.float64]:
    """A column of numbers, NaN for null."""
    column = pc.fill_null(pc.cast(table[name], pa.float64()), float("nan"))
    return np.asarray(column.to_numpy(), dtype=np.float64)


def flags(table: pa.Table, name: str) -> NDArray[np.bool_]:
    """A column of true and false, false for null."""
    column = pc.fill_null(pc.cast(table[name], pa.bool_()), False)
    return np.asarray(column.to_numpy(), dtype=np.bool_)


def words(table: pa.Table, name: str) -> NDArray[np.object_]:
    """A column of text, None for null."""
    found = np.empty(table.num_rows, dtype=np.object_)
    found[:] = table[name].to_pylist()
    return found
