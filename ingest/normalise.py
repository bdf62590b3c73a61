"""Rows of text to rows of canonical columns, by a plan: SI units and UTC, faults by row.

Pure and repeatable: the same plan applied to the rows in one piece or in batches gives the same.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import polars as pl

from ingest.drafts import key_of, numbers_of
from ingest.instants import Instants, instants
from ingest.number_columns import SMALL, NumberColumn
from ingest.plan import SIGNED_SIDE, ColumnPlan, Plan, dimension_of, value_type
from ingest.sides import side_of_word
from ingest.units import UNITS
from ingest.worded_columns import WORDED, club_columns
from ingest.words import words

_INTEGER_CELL = re.compile(r"^(\D{0,12}?)(\d{1,15})(?:[.,]0+)?\D{0,3}$", re.ASCII)
Cells = Sequence[pl.Series]
_INTEGER = r"^\D{0,12}?(\d{1,15})(?:[.,]0+)?\D{0,3}$"


@dataclass(frozen=True)
class Fault:
    """Why a row cannot be kept: the header, the text and a code of `ingest/set_aside.py`."""

    row: int
    header: str
    value: str
    code: str
    column: str = ""


@dataclass
class Normalised:
    """The canonical frame (one row for each row of text), its faults, and open times by row."""

    frame: pl.DataFrame
    faults: list[Fault] = field(default_factory=list)
    marked: dict[int, dict[str, str]] = field(default_factory=dict)
    skipped: list[int] = field(default_factory=list)
    doubled: list[int] = field(default_factory=list)
    dropped: list[ColumnPlan] = field(default_factory=list)
    parsed: Mapping[tuple[object, ...], NumberColumn] = field(default_factory=dict)


def normalise(
    plan: Plan,
    tidy: pl.DataFrame,
    plain: pl.DataFrame,
    parsed: Mapping[tuple[object, ...], NumberColumn] | None = None,
) -> Normalised:
    """Apply `plan` to rows of text (see `ingest/table_texts.py` for the frames and `parsed`)."""
    result = Normalised(pl.DataFrame(), parsed=parsed or {})
    columns: dict[str, pl.Series] = {}
    if plan.time is not None:
        cells = [tidy.to_series(index) for index, _, _ in plan.time.roles]
        columns[plan.time.column] = instant_column(plan, cells, result)
    for column in plan.columns:
        add_column(columns, column, _column(column, plan, tidy, plain, result))
    if plan.club_from_preamble and "club_text" not in columns:
        columns.update(club_columns(pl.repeat(plan.club_from_preamble, tidy.height, eager=True)))
    if plan.surface and "surface" not in columns:
        columns["surface"] = pl.repeat(plan.surface, tidy.height, eager=True)
    if not columns:
        result.frame = pl.DataFrame(
            {"note": pl.repeat(None, tidy.height, dtype=pl.String, eager=True)}
        )
        return result
    result.frame = pl.DataFrame([series.alias(name) for name, series in columns.items()])
    return result


def add_column(
    columns: dict[str, pl.Series], source: ColumnPlan, found: Mapping[str, pl.Series]
) -> None:
    """Add what one header gave; a loft in the club's text only fills gaps of the loft column."""
    loft = found.get("loft_deg")
    known = columns.get("loft_deg")
    columns.update(found)
    if loft is not None and known is not None:
        first, second = (known, loft) if source.column == "club_text" else (loft, known)
        columns["loft_deg"] = first.zip_with(first.is_not_null(), second)


def instant_column(plan: Plan, cells: Cells, result: Normalised) -> pl.Series:
    """The instants that cells, one series for each role of the time plan, name together."""
    assert plan.time is not None
    found: Instants = instants(plan.time, cells)
    for row, code in found.faults.items():
        text = next((c[row] for c in cells if c[row] is not None), "")
        result.faults.append(Fault(row, plan.time.roles[0][1], text, code, plan.time.column))
    result.skipped, result.doubled = found.skipped, found.doubled
    keep_half_times(plan, cells, found.utc, result)
    return found.utc


def keep_half_times(plan: Plan, cells: Cells, utc: pl.Series, result: Normalised) -> None:
    """Keep the text of a date without its clock time, or the reverse: it gives no instant."""
    assert plan.time is not None
    if plan.time.open:
        return
    told = set(result.skipped) | set(result.doubled) | {fault.row for fault in result.faults}
    for row in utc.is_null().arg_true().to_list():
        for cell, (_, header, role) in zip(cells, plan.time.roles, strict=True):
            if cell[row] is not None and role != "zone" and row not in told:
                result.marked.setdefault(row, {})[header] = cell[row]


def _column(
    column: ColumnPlan, plan: Plan, tidy: pl.DataFrame, plain: pl.DataFrame, result: Normalised
) -> dict[str, pl.Series]:
    texts = tidy.to_series(column.index)
    kind = value_type(column.column, plan.kind)
    if column.open:
        return {column.column: pl.repeat(None, texts.len(), dtype=pl.Float64, eager=True)}
    if column.column in WORDED:
        return WORDED[column.column](texts)
    if kind == "number":
        return {column.column: number_column(column, plan, texts, tidy, result)}
    if kind == "integer":
        return _integers(column, texts, result)
    if kind == "boolean":
        return {column.column: _booleans(column, texts, result)}
    return {column.column: plain.to_series(column.index)}


def number_column(
    column: ColumnPlan, plan: Plan, texts: pl.Series, tidy: pl.DataFrame, result: Normalised
) -> pl.Series:
    """One measured column in SI; cells that cannot be read are faults."""
    dimension = dimension_of(column.column, plan.kind)
    assert dimension is not None
    if column.column == "leave_m":
        texts = _holed_as_zero(texts)
    known = None if column.column == "leave_m" else result.parsed.get(key_of(column))
    numbers = known or numbers_of(column, texts, dimension)
    for row, code in numbers.faults.items():
        result.faults.append(Fault(row, column.header, texts[row] or "", code, column.column))
    for row, text in numbers.marked.items():
        result.marked.setdefault(row, {})[column.header] = text
    values = numbers.values
    if column.column in SIGNED_SIDE:
        beside = tidy.to_series(plan.side_word) if plan.side_word is not None else None
        values, doubtful = _sided(_by_hand(numbers, plan.hand), column, beside)
        for row in doubtful:
            text = texts[row] or ""
            result.faults.append(Fault(row, column.header, text, "two_meanings", column.column))
    values = _in_si(values, numbers, column)
    return 1.0 / values if column.inverse else values


def _holed_as_zero(texts: pl.Series) -> pl.Series:
    return texts.set(texts.str.to_lowercase().is_in(list(words("holed"))), "0")


def _in_si(values: pl.Series, numbers: NumberColumn, column: ColumnPlan) -> pl.Series:
    unit = UNITS[column.unit] if column.unit else None
    si = values * unit.times / unit.per if unit else values
    if numbers.units:
        rows = list(numbers.units)
        converted = [
            UNITS[code].to_si(values[row]) if values[row] is not None else None
            for row, code in numbers.units.items()
        ]
        si = si.scatter(rows, pl.Series(converted, dtype=pl.Float64))
    return si


def _sided(
    numbers: NumberColumn, column: ColumnPlan, beside: pl.Series | None
) -> tuple[pl.Series, list[int]]:
    """Right positive: by letters in the cells, a column of sides beside, or the column's sign.

    A minus beside a letter is the same side said twice only when every left value has one;
    otherwise such a row has two meanings, and is returned as doubtful.
    """
    values = numbers.values
    sides = dict(numbers.sides)
    if beside is not None and not sides and not (values < 0).any():
        sides = _sides_beside(beside)
    signed = values * float(column.sign)
    if not sides:
        return signed, []
    negative = {row for row in sides if (values[row] or 0.0) < 0}
    redundant = all(sides[row] < 0 for row in negative) and all(
        row in negative or not values[row] for row, side in sides.items() if side < 0
    )
    rows = list(sides)
    sided = [abs(v) * sides[row] if (v := values[row]) is not None else None for row in rows]
    whole = signed.scatter(rows, pl.Series(sided, dtype=pl.Float64))
    return whole, [] if redundant else sorted(negative)


def _by_hand(numbers: NumberColumn, hand: str | None) -> NumberColumn:
    """The numbers with sides by the player's hand turned round for a left-hander."""
    if not numbers.relative or hand != "left":
        return numbers
    turned = {
        row: -side if row in numbers.relative else side for row, side in numbers.sides.items()
    }
    return replace(numbers, sides=turned)


def _sides_beside(words_column: pl.Series) -> dict[int, int]:
    found = {}
    for row, text in enumerate(words_column.to_list()):
        side = side_of_word(text) if text is not None else None
        if side:
            found[row] = side
    return found


def _integers(column: ColumnPlan, texts: pl.Series, result: Normalised) -> dict[str, pl.Series]:
    """Whole numbers, with a constant word before them or not; other texts are not numbers."""
    values, n_heads = _few_integers(texts) if texts.len() <= SMALL else _many_integers(texts)
    n_unread = values.null_count() - texts.null_count()
    many = n_unread > 0.2 * (texts.len() - texts.null_count())
    if column.column == "device_number" and (n_heads > 1 or many):
        result.dropped.append(column)
        return {}
    unread = (texts.is_not_null() & values.is_null()).arg_true().to_list() if n_unread else []
    for row in unread:
        text = texts[row] or ""
        result.faults.append(Fault(row, column.header, text, "not_a_whole_number", column.column))
    return {column.column: values}


def _many_integers(texts: pl.Series) -> tuple[pl.Series, int]:
    """The whole numbers, and how many different words stand before them."""
    values = texts.str.extract(_INTEGER, 1).cast(pl.Int64, strict=False)
    return values, texts.str.extract(r"^(\D*)", 1).drop_nulls().n_unique()


def _few_integers(texts: pl.Series) -> tuple[pl.Series, int]:
    heads: set[str] = set()
    values: list[int | None] = []
    for text in texts.to_list():
        found = _INTEGER_CELL.match(text) if text is not None else None
        values.append(int(found[2]) if found else None)
        if text is not None:
            heads.add(found[1] if found else text)
    return pl.Series(texts.name, values, dtype=pl.Int64), len(heads)


def _booleans(column: ColumnPlan, texts: pl.Series, result: Normalised) -> pl.Series:
    yes, no = words("yes") | {"1", "✓", "x"}, words("no") | {"0"}
    lower = texts.str.to_lowercase()
    values = pl.Series(
        [True if t in yes else False if t in no else None for t in lower.to_list()],
        dtype=pl.Boolean,
    )
    for row in (texts.is_not_null() & values.is_null()).arg_true().to_list():
        text = texts[row] or ""
        result.faults.append(Fault(row, column.header, text, "not_yes_or_no", column.column))
    return values


def extra_of(
    plan: Plan,
    plain: pl.DataFrame,
    marked: dict[int, dict[str, str]],
    dropped: Sequence[ColumnPlan] = (),
) -> list[dict[str, str]]:
    """Header → text of the unknown columns, row by row; blank cells are left out."""
    unknown = [*plan.unknown, *((column.index, column.header) for column in dropped)]
    headers = _own_names(unknown)
    rows: list[dict[str, str]] = [{} for _ in range(plain.height)]
    for index, header in headers:
        for row, text in enumerate(plain.to_series(index).to_list()):
            if text is not None:
                rows[row][header] = text
    for row, texts in marked.items():
        rows[row].update(texts)
    return rows


def _own_names(unknown: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
    """Every header once: repeated or blank ones get their position."""
    seen: set[str] = set()
    named = []
    for index, header in unknown:
        name = (
            header
            if header.strip() and header not in seen
            else f"{header or 'column'} [{index + 1}]"
        )
        seen.add(name)
        named.append((index, name))
    return named


def as_extra_series(rows: Sequence[dict[str, str]]) -> pl.Series:
    """`extra` as a list of key-value pairs, the form that becomes an Arrow map."""
    dtype = pl.List(pl.Struct({"key": pl.String, "value": pl.String}))
    pairs = [[{"key": k, "value": v} for k, v in row.items()] if row else None for row in rows]
    return pl.Series("extra", pairs, dtype=dtype)
