"""The rows of `carry_curve.sql` as arrays: which curves there are, their cells, their mishits."""

from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.curve_cells import (
    CLUB_LOFT_DEG,
    REFERENCE_MPS,
    Cells,
    FloatArray,
    IntArray,
    Tree,
    prior_level,
    total,
)
from analytics.day_share import DayFit, fit_days


@dataclass(frozen=True)
class SessionRows:
    """Every row of the answer as it was, one per curve × session, arrays of shape (k,).

    n: clean balls, marked: mishits; means and population variances of x and of r, NaN without
    clean balls.
    """

    curve: IntArray
    session_id: list[str]
    n: FloatArray
    marked: FloatArray
    mean_x: FloatArray
    mean_r: FloatArray
    var_x: FloatArray
    cov_xr: FloatArray
    var_r: FloatArray


@dataclass(frozen=True)
class CurveTable:
    """Curves found in the rows and what each was made of; arrays by curve, shape (n,).

    players, clubs, lengths: names; the index of each curve's is in player, club, length (−1: none).
    prior_level: ln carry at 10 m/s before data; cells and tree feed `curve_fit`.
    n, n_sessions, n_coach, n_rule: counts; off_mean, off_sd: marked balls against the middle.
    """

    players: list[str]
    clubs: list[str]
    lengths: list[str]
    player: IntArray
    club: IntArray
    length: IntArray
    loft_deg: FloatArray
    prior_level: FloatArray
    cells: Cells
    tree: Tree
    n: FloatArray
    n_sessions: FloatArray
    n_coach: FloatArray
    n_rule: FloatArray
    off_mean: FloatArray
    off_sd: FloatArray
    speed_low: FloatArray
    speed_high: FloatArray
    mean_x: FloatArray
    rows: pa.Table
    curve_of_row: IntArray

    @property
    def sessions(self) -> SessionRows:
        """The rows the curves were made of."""
        rows = self.rows
        return SessionRows(
            self.curve_of_row,
            rows["session_id"].to_pylist(),
            _floats(rows, "n"),
            _floats(rows, "n_coach") + _floats(rows, "n_rule"),
            *(_floats(rows, name) for name in ("mean_x", "mean_r", "var_x", "cov_xr", "var_r")),
        )


def curve_table(rows: pa.Table, speed_kind: str, split: bool) -> CurveTable:
    """Curves and cells from the answer to `carry_curve`.

    Args:
        rows: one row per curve × session.
        speed_kind: club, ball or sensor; chooses the level before data.
        split: whether the rows are split by swing length.
    """
    found = _find(rows)
    curve, size = found.curve, len(found.club_of_curve)
    counts = _Counts(rows, curve, size)
    club = found.of_club[found.club_of_curve]
    loft = np.where(np.isnan(counts.loft), _usual_loft(found.clubs)[club], counts.loft)
    level = _level(loft, speed_kind)
    cells = _cells(rows, curve, level)
    return CurveTable(
        players=found.players,
        clubs=found.clubs,
        lengths=found.lengths,
        player=found.of_player[found.club_of_curve],
        club=club,
        length=found.length,
        loft_deg=loft,
        prior_level=level,
        cells=cells,
        tree=Tree(found.club_of_curve, found.of_player, len(found.players), split),
        n=counts.n,
        n_sessions=total((counts.rows_n > 0).astype(float), curve, size),
        n_coach=counts.coach,
        n_rule=counts.rule,
        off_mean=counts.off_mean,
        off_sd=counts.off_sd,
        speed_low=counts.speed_low,
        speed_high=counts.speed_high,
        mean_x=total(cells.n * cells.mean_x, cells.curve, size) / np.maximum(counts.n, 1),
        rows=rows,
        curve_of_row=curve,
    )


OWN_DAYS_LEAST = 3


def own_days(table: CurveTable, i: int) -> DayFit | None:
    """Day-to-day and ball-to-ball spread of the i-th curve from its own balls alone, by REML.

    None below three days, or where no day has balls enough to tell the two apart.
    """
    mine = table.cells.curve == i
    cells = Cells(np.zeros(int(mine.sum()), dtype=np.intp), *(p[mine] for p in table.cells.sums))
    balls = float(cells.n.sum())
    if len(cells.n) < OWN_DAYS_LEAST or balls - len(cells.n) < 3 or cells.sxx.sum() <= 0:
        return None
    return fit_days(cells)


@dataclass(frozen=True)
class _Found:
    """Names in order, which curve each row belongs to, and which names each curve has."""

    players: list[str]
    clubs: list[str]
    lengths: list[str]
    curve: IntArray
    club_of_curve: IntArray
    of_club: IntArray
    of_player: IntArray
    length: IntArray


def _find(rows: pa.Table) -> _Found:
    players, player = _coded(rows["player_id"])
    clubs, club = _coded(rows["club"])
    lengths, length = _coded(rows["swing_length"])
    n_clubs, width = max(len(clubs), 1), len(lengths) + 1
    club_keys, club_node = _dense(player * n_clubs + club, len(players) * n_clubs)
    curve_keys, curve = _dense(club_node * width + length + 1, len(club_keys) * width)
    return _Found(
        players,
        clubs,
        lengths,
        curve,
        curve_keys // width,
        club_keys % n_clubs,
        club_keys // n_clubs,
        curve_keys % width - 1,
    )


class _Counts:
    """Counts and extremes of each curve from its rows."""

    def __init__(self, rows: pa.Table, curve: IntArray, size: int) -> None:
        self.rows_n = _floats(rows, "n")
        coach, rule = _floats(rows, "n_coach"), _floats(rows, "n_rule")
        self.n = total(self.rows_n, curve, size)
        self.coach = total(coach, curve, size)
        self.rule = total(rule, curve, size)
        marked = coach + rule
        mean = np.nan_to_num(_floats(rows, "off_mean"))
        variance = np.nan_to_num(_floats(rows, "off_variance"))
        all_marked = np.maximum(self.coach + self.rule, 1)
        self.off_mean = total(marked * mean, curve, size) / all_marked
        spread = variance + (mean - self.off_mean[curve]) ** 2
        self.off_sd = np.sqrt(total(marked * spread, curve, size) / all_marked)
        slowest, fastest = np.full(size, np.inf), np.full(size, -np.inf)
        np.fmin.at(slowest, curve, _floats(rows, "x_low"))
        np.fmax.at(fastest, curve, _floats(rows, "x_high"))
        self.speed_low = REFERENCE_MPS * np.exp(slowest)
        self.speed_high = REFERENCE_MPS * np.exp(fastest)
        self.loft = np.full(size, np.nan)
        np.fmax.at(self.loft, curve, _floats(rows, "loft_deg"))


def _cells(rows: pa.Table, curve: IntArray, level: FloatArray) -> Cells:
    n = _floats(rows, "n")
    there = n > 0
    where = curve[there]
    return Cells(
        curve=where,
        n=n[there],
        mean_x=_floats(rows, "mean_x")[there],
        mean_y=_floats(rows, "mean_r")[there] - level[where],
        sxx=(n * _floats(rows, "var_x"))[there],
        sxy=(n * _floats(rows, "cov_xr"))[there],
        syy=(n * _floats(rows, "var_r"))[there],
    )


BALL_LEVEL_M = 8.6
"""Carry at 10 m/s ball speed before data: launch at 28° to 37°, a little drag, any loft."""


def _level(loft_deg: FloatArray, speed_kind: str) -> FloatArray:
    if speed_kind == "ball":
        return np.full(len(loft_deg), np.log(BALL_LEVEL_M))
    return prior_level(loft_deg)


def _usual_loft(clubs: list[str]) -> FloatArray:
    return np.array([CLUB_LOFT_DEG.get(club, np.nan) for club in clubs])


DECIMALS = 12
"""Parallel sums differ in their last digits from run to run; beyond this many nothing is kept."""


def _floats(rows: pa.Table, name: str) -> FloatArray:
    column = pc.cast(rows[name], pa.float64()).combine_chunks()
    exact = np.asarray(column.to_numpy(zero_copy_only=False), dtype=np.float64)
    return np.asarray(np.round(exact, DECIMALS), dtype=np.float64)


def _coded(column: pa.ChunkedArray) -> tuple[list[str], IntArray]:
    """Sorted names and the index of each row's name, −1 where it has none."""
    encoded = column.combine_chunks().dictionary_encode()
    if isinstance(encoded, pa.ChunkedArray):
        encoded = encoded.combine_chunks()
    names = np.asarray(encoded.dictionary.to_pylist(), dtype=object)
    codes = pc.fill_null(encoded.indices, -1).to_numpy(zero_copy_only=False).astype(np.intp)
    order = np.argsort(names.astype(str)) if len(names) else np.zeros(0, dtype=np.intp)
    rank = np.empty(len(names) + 1, dtype=np.intp)
    rank[order] = np.arange(len(names))
    rank[-1] = -1
    return [str(name) for name in names[order]], rank[codes]


def _dense(key: IntArray, size: int) -> tuple[IntArray, IntArray]:
    """Keys that occur, ascending, and for each row the position of its key among them."""
    seen = np.zeros(size, dtype=bool)
    seen[key] = True
    position = np.cumsum(seen) - 1
    return np.flatnonzero(seen), position[key]
