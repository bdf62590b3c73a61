"""Many rows at once: raw columns of text to canonical columns, the same answers as row by row.

Rules
- A column is first taken as what it is in regular files (plain numbers, ISO stamps, a handful of
  club names). Only the cells that do not fit go through the careful readers, as a small frame of
  their own, and are put back.
- `ingest/normalise.py` stays the definition: a property test compares the two.
"""

from collections.abc import Mapping, Sequence

import polars as pl

from ingest.normalise import (
    Fault,
    Normalised,
    add_column,
    instant_column,
    keep_half_times,
    normalise,
)
from ingest.plan import SIGNED_SIDE, ColumnPlan, Plan, value_type
from ingest.quick_instants import quick_instants
from ingest.table_texts import OUTER, tidied
from ingest.units import UNITS
from ingest.worded_columns import club_columns, surface_columns


def normalise_many(plan: Plan, raw: pl.DataFrame) -> Normalised:
    """Apply `plan` to raw cells (columns named by position)."""
    result = Normalised(pl.DataFrame())
    columns: dict[str, pl.Series] = {}
    if plan.time is not None:
        columns[plan.time.column] = _instants(plan, raw, result)
    for column in plan.columns:
        add_column(columns, column, _column(column, plan, raw, result))
    if plan.surface and "surface" not in columns:
        columns["surface"] = pl.repeat(plan.surface, raw.height, eager=True)
    if plan.club_from_preamble and "club_text" not in columns:
        texts = pl.repeat(plan.club_from_preamble, raw.height, eager=True)
        columns.update(_clubs(texts))
    result.frame = pl.DataFrame([series.alias(name) for name, series in columns.items()])
    return result


def _column(
    column: ColumnPlan, plan: Plan, raw: pl.DataFrame, result: Normalised
) -> Mapping[str, pl.Series]:
    cells = raw.to_series(column.index)
    kind = value_type(column.column, plan.kind)
    if column.open:
        return {column.column: pl.repeat(None, cells.len(), dtype=pl.Float64, eager=True)}
    if column.column == "club_text":
        return _clubs(cells)
    if kind == "number" and plan.side_word is None and not column.inverse:
        values = _plain_numbers(cells, column)
        return {column.column: _mended(values, column, plan, raw, result)}
    if kind == "integer":
        return {column.column: _mended(_plain_integers(cells), column, plan, raw, result)}
    if kind == "string":
        text = _plain_text(cells)
        return surface_columns(text) if column.column == "surface" else {column.column: text}
    return _carefully(column, plan, raw, result)


def _plain_numbers(cells: pl.Series, column: ColumnPlan) -> pl.Series:
    """The cells that are plain numbers in the file's decimal sign, as SI; null for all others."""
    if column.decimal == ",":
        odd = cells.str.contains(".", literal=True)
        texts = cells.str.replace(",", ".", literal=True)
        values = texts.cast(pl.Float64, strict=False).set(odd, None)
    else:
        values = cells.cast(pl.Float64, strict=False)
    unit = UNITS[column.unit] if column.unit else None
    if unit is not None and unit.times != 1.0:
        values = values * unit.times
    if unit is not None and unit.per != 1.0:
        values = values / unit.per
    return -values if column.column in SIGNED_SIDE and column.sign < 0 else values


def _plain_integers(cells: pl.Series) -> pl.Series:
    return cells.cast(pl.Int64, strict=False)


def _plain_text(cells: pl.Series) -> pl.Series:
    bare = cells.str.strip_chars(OUTER)
    return bare.set(bare == "", None)


def _clubs(cells: pl.Series) -> dict[str, pl.Series]:
    """Club columns by way of the few different texts."""
    names = cells.unique()
    tidy, _ = tidied(names.rename("0").to_frame())
    known = pl.DataFrame(club_columns(tidy.to_series(0))).with_columns(names.alias("raw"))
    joined = cells.rename("raw").to_frame().join(known, on="raw", how="left", maintain_order="left")
    return {name: joined.get_column(name) for name in joined.columns if name != "raw"}


def _mended(
    values: pl.Series, column: ColumnPlan, plan: Plan, raw: pl.DataFrame, result: Normalised
) -> pl.Series:
    """`values` with the cells that are not plain read the careful way."""
    cells = raw.to_series(column.index)
    infinite = values.is_infinite() | values.is_nan() if values.dtype.is_float() else None
    odd = values.is_null() & (cells != "")
    if infinite is not None and infinite.any():
        odd = odd | infinite
    rows = odd.arg_true()
    if rows.is_empty():
        return values
    done = _apply_careful(column, plan, raw, rows, result)
    if column.column not in done.columns:
        return values
    return values.scatter(rows, done.get_column(column.column))


def _carefully(
    column: ColumnPlan, plan: Plan, raw: pl.DataFrame, result: Normalised
) -> Mapping[str, pl.Series]:
    rows = pl.int_range(raw.height, eager=True)
    done = _apply_careful(column, plan, raw, rows, result)
    return {name: done.get_column(name) for name in done.columns}


def _apply_careful(
    column: ColumnPlan, plan: Plan, raw: pl.DataFrame, rows: pl.Series, result: Normalised
) -> pl.DataFrame:
    """The careful reading of one column on some rows; faults and marks get their true rows."""
    part = Plan(
        kind=plan.kind,
        layout=plan.layout,
        columns=(column,),
        time=None,
        unknown=(),
        decimal=plan.decimal,
        side_word=plan.side_word,
        hand=plan.hand,
    )
    done = normalise(part, *tidied(raw[rows]))
    result.faults += [Fault(rows[f.row], f.header, f.value, f.code, f.column) for f in done.faults]
    for row, texts in done.marked.items():
        result.marked.setdefault(rows[row], {}).update(texts)
    return done.frame


def _instants(plan: Plan, raw: pl.DataFrame, result: Normalised) -> pl.Series:
    assert plan.time is not None
    indices = [index for index, _, _ in plan.time.roles]
    roles = [role for _, _, role in plan.time.roles]
    plain = [raw.to_series(index).replace("", None) for index in indices]
    quick = None if plan.time.open else quick_instants(plan.time, roles, plain)
    if quick is not None:
        result.skipped, result.doubled = quick[2], quick[3]
        _keep_half_times(plan, raw, quick[0], result)
        return quick[0]
    tidy, _ = tidied(raw.select(str(index) for index in dict.fromkeys(indices)))
    cells = [tidy.get_column(str(index)) for index in indices]
    return instant_column(plan, cells, result)


def _keep_half_times(plan: Plan, raw: pl.DataFrame, utc: pl.Series, result: Normalised) -> None:
    """As for few rows, looking at those alone that have no instant."""
    assert plan.time is not None
    told = {*result.skipped, *result.doubled}
    rows = [row for row in utc.is_null().arg_true().to_list() if row not in told]
    if not rows:
        return
    indices = [index for index, _, _ in plan.time.roles]
    tidy, _ = tidied(raw[rows].select(str(index) for index in dict.fromkeys(indices)))
    cells = [tidy.get_column(str(index)) for index in indices]
    few = Normalised(pl.DataFrame())
    keep_half_times(plan, cells, utc[rows], few)
    for row, texts in few.marked.items():
        result.marked.setdefault(rows[row], {}).update(texts)


def extra_series(plan: Plan, raw: pl.DataFrame, marked: Mapping[int, dict[str, str]]) -> pl.Series:
    """`extra` of many rows: unknown columns, and the raw texts of columns with open questions."""
    open_columns = [(c.index, c.header) for c in plan.columns if c.open]
    asked = [(p.index, p.header) for q in plan.questions for p in q.plans]
    times = [(i, h) for i, h, _ in plan.time.roles] if plan.time and plan.time.open else []
    named = dict([*plan.unknown, *open_columns, *asked, *times])
    dtype = pl.List(pl.Struct({"key": pl.String, "value": pl.String}))
    if not named:
        none = pl.repeat(None, raw.height, dtype=dtype, eager=True).rename("extra")
        return _with_marks(none, marked)
    pairs = [_pair(index, header or f"column [{index + 1}]") for index, header in named.items()]
    listed = raw.select(pl.concat_list(pairs).list.drop_nulls().alias("extra")).to_series()
    return _with_marks(listed, marked)


def _pair(index: int, header: str) -> pl.Expr:
    text = pl.col(str(index)).str.strip_chars(OUTER)
    pair = pl.struct(key=pl.lit(header), value=text)
    return pl.when(text != "").then(pair)


def _with_marks(listed: pl.Series, marked: Mapping[int, dict[str, str]]) -> pl.Series:
    if not marked:
        return listed
    rows = sorted(marked)
    grown = [
        [*(listed[row].to_list() if listed[row] is not None else []), *_as_pairs(marked[row])]
        for row in rows
    ]
    out = listed.to_list()
    for row, pairs in zip(rows, grown, strict=True):
        out[row] = pairs
    return pl.Series("extra", out, dtype=listed.dtype)


def _as_pairs(texts: Mapping[str, str]) -> Sequence[dict[str, str]]:
    return [{"key": key, "value": value} for key, value in texts.items()]
