"""What carry curves are fitted from: counts and moments of the clean balls, mishits set apart.

`carry_curve.sql` brings the balls, grouped; here each ball is judged against the middle of its
curve (`mishit_rule`) and the moments of what is left are taken about their own means. Work goes in
pieces of PIECE balls, so that ten million need hardly more memory than they lie in.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.curve_cells import FloatArray, IntArray, total
from analytics.mishit_rule import middle_and_reach
from analytics.mishits import CUT

PIECE = 100_000

KEYS = ("player_id", "club", "swing_length", "session_id")
CURVE_KEYS = KEYS[:3]


@dataclass(frozen=True)
class _Balls:
    """Balls side by side in the order of their rows; a row is of one cell, a cell of one curve.

    x, r: shape (balls,); size, said: of each row, said −1 mishit, 1 clean, 0 nothing; cell, curve:
    whose each row is, ascending.
    """

    x: FloatArray
    r: FloatArray
    size: IntArray
    said: IntArray
    cell: IntArray
    curve: IntArray


MOMENTS = (
    "n", "mean_x", "mean_r", "var_x", "cov_xr", "var_r", "x_low", "x_high",
    "n_coach", "n_rule", "off_mean", "off_variance",
)  # fmt: skip


def curve_rows(balls: pa.Table, usual_sd: float, cut: float = CUT) -> pa.Table:
    """One row per curve × session, from the answer to `carry_curve`.

    Args:
        balls: sorted by curve and session.
        usual_sd: standard deviation of ln carry of a curve where the data do not tell.
        cut: robust standard deviations from the middle at which a ball is a mishit.

    Returns: KEYS and `loft_deg` as they came, and MOMENTS: clean balls, their means and population
        variances, their extremes of x; balls called mishits by the coach and by the rule, mean
        and variance of how far off they are. NaN where nothing was there to take it of.
    """
    if not balls.num_rows:
        return _table(balls, np.zeros(0, dtype=np.intp), np.zeros((len(MOMENTS), 0)))
    starts = _changes(balls, KEYS)
    read = _Balls(
        _flat(balls["x"]),
        _flat(balls["r"]),
        np.asarray(pc.list_value_length(balls["x"]), dtype=np.intp),
        _said(balls["strike"]),
        np.cumsum(starts) - 1,
        np.cumsum(_changes(balls, CURVE_KEYS)) - 1,
    )
    return _table(balls, np.flatnonzero(starts), _moments(read, usual_sd, cut))


def _moments(read: _Balls, usual_sd: float, cut: float) -> FloatArray:
    """MOMENTS of every cell, shape (12, cells)."""
    middle, reach = _judged_by(read, usual_sd, cut)
    reach_of_row = np.select([read.said < 0, read.said > 0], [-1.0, np.inf], reach[read.curve])
    middle_of_row = middle[read.curve]
    ends = np.cumsum(read.size)
    pieces = []
    for rows in _pieces(read, ends):
        there = slice(ends[rows.start] - read.size[rows.start], ends[rows.stop - 1])
        size = read.size[rows]
        off = read.r[there] - np.repeat(middle_of_row[rows], size)
        clean = np.abs(off) <= np.repeat(reach_of_row[rows], size)
        ball_cell = np.repeat(read.cell[rows] - read.cell[rows.start], size)
        by_coach = np.where(read.said[rows] < 0, size, 0.0)
        coach = total(by_coach, read.cell[rows] - read.cell[rows.start], 0)
        kept = _kept(read.x[there], read.r[there], clean, ball_cell)
        pieces.append(np.stack([*kept, coach, *_marked(off, clean, ball_cell, coach)]))
    return np.concatenate(pieces, axis=1)


def _judged_by(read: _Balls, usual_sd: float, cut: float) -> tuple[FloatArray, FloatArray]:
    n_curves = int(read.curve[-1]) + 1
    heard = read.said >= 0
    r = read.r if heard.all() else read.r[np.repeat(heard, read.size)]
    size = total(np.where(heard, read.size, 0.0), read.curve, n_curves).astype(np.intp)
    return middle_and_reach(r, size, cut, usual_sd)


def _pieces(read: _Balls, ends: IntArray) -> Iterator[slice]:
    """Whole cells of about PIECE balls each, as slices of rows."""
    first = 0
    firsts = np.flatnonzero(np.diff(read.cell, prepend=-1))
    while first < len(read.cell):
        wanted = ends[first] + PIECE
        place = int(np.searchsorted(ends, wanted))
        following = int(np.searchsorted(firsts, place, side="right"))
        stop = int(firsts[following]) if following < len(firsts) else len(read.cell)
        yield slice(first, stop)
        first = stop


def _kept(
    x: FloatArray, r: FloatArray, clean: np.ndarray, cell: IntArray
) -> tuple[FloatArray, ...]:
    """Count, means, variances and extremes of x of the clean balls of each cell."""
    first = np.flatnonzero(np.diff(cell, prepend=-1))

    def sums(values: FloatArray) -> FloatArray:
        return np.asarray(np.add.reduceat(values, first), dtype=np.float64)

    weight = clean.astype(np.float64)
    n = sums(weight)
    share = 1 / np.where(n > 0, n, np.nan)
    mean_x, mean_r = sums(weight * x) * share, sums(weight * r) * share
    dx, dr = weight * (x - mean_x[cell]), weight * (r - mean_r[cell])
    low = np.minimum.reduceat(np.where(clean, x, np.inf), first)
    high = np.maximum.reduceat(np.where(clean, x, -np.inf), first)
    second = (sums(dx * dx) * share, sums(dx * dr) * share, sums(dr * dr) * share)
    none = n == 0
    return n, mean_x, mean_r, *second, np.where(none, np.nan, low), np.where(none, np.nan, high)


def _marked(
    off: FloatArray, clean: np.ndarray, cell: IntArray, coach: FloatArray
) -> tuple[FloatArray, ...]:
    """Balls that the rule calls mishits, and how far off all marked ones are."""
    marked = np.flatnonzero(~clean)
    where, size = cell[marked], len(coach)
    n = total(np.ones(len(marked)), where, size)
    share = 1 / np.where(n > 0, n, np.nan)
    mean = total(off[marked], where, size) * share
    variance = total((off[marked] - mean[where]) ** 2, where, size) * share
    return n - coach, mean, variance


def _table(balls: pa.Table, first: IntArray, moments: FloatArray) -> pa.Table:
    keys = balls.select([*KEYS]).take(pa.array(first))
    loft = _floats(balls["loft_deg"])
    loft = np.fmax.reduceat(loft, first) if len(first) else loft
    return pa.table(
        {name: keys[name] for name in KEYS}
        | {"loft_deg": loft}
        | dict(zip(MOMENTS, moments, strict=True))
    )


def _changes(balls: pa.Table, names: tuple[str, ...]) -> np.ndarray:
    """Whether each row differs from the one before in any of these columns; the first does."""
    changes = np.zeros(balls.num_rows, dtype=bool)
    changes[0] = True
    for name in names:
        column = balls[name].combine_chunks()
        if column.null_count == len(column):
            continue
        codes = pc.fill_null(column, "")
        changes[1:] |= np.asarray(pc.not_equal(codes[1:], codes[:-1]))
    return changes


def _said(strike: pa.ChunkedArray) -> IntArray:
    clean, mishit = (pc.fill_null(pc.equal(strike, word), False) for word in ("clean", "mishit"))
    return np.asarray(np.select([clean, mishit], [1, -1]), dtype=np.intp)


def _flat(lists: pa.ChunkedArray) -> FloatArray:
    return np.concatenate([np.asarray(chunk.flatten()) for chunk in lists.chunks])


def _floats(column: pa.ChunkedArray) -> FloatArray:
    return np.asarray(pc.cast(column, pa.float64()), dtype=np.float64)
