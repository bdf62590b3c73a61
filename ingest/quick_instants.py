"""Instants of long regular columns in vectorised queries; the same answers as row by row.

Only columns of which every cell fits one plain format are taken; for anything else the careful way
in `ingest/instants.py` is used.
"""

from collections.abc import Sequence

import polars as pl

from ingest.plan import TimePlan

_WITH_OFFSET = r"^\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d(?:\.\d{1,9})?(?:Z|[+-]\d\d:\d\d)$"
_CLOCK = r"\d\d:\d\d:\d\d(?:\.\d{1,9})?$"
_FORMATS = (
    (r"^\d{4}-\d\d-\d\d[T ]", "%Y-%m-%d", None),
    (r"^\d{4}/\d\d/\d\d[T ]", "%Y/%m/%d", None),
    (r"^\d\d\.\d\d\.\d{4}[T ]", "%d.%m.%Y", None),
    (r"^\d\d/\d\d/\d{4}[T ]", "%d/%m/%Y", "dmy"),
    (r"^\d\d/\d\d/\d{4}[T ]", "%m/%d/%Y", "mdy"),
    (r"^\d\d-\d\d-\d{4}[T ]", "%d-%m-%Y", "dmy"),
    (r"^\d\d-\d\d-\d{4}[T ]", "%m-%d-%Y", "mdy"),
)
Found = tuple[pl.Series, dict[int, str], list[int], list[int]]


def quick_instants(
    plan: TimePlan, roles: Sequence[str], columns: Sequence[pl.Series]
) -> Found | None:
    """(UTC instants, no faults, skipped rows, doubled rows), or None when a cell is irregular."""
    if plan.form:
        return None
    if list(roles) == ["stamp"]:
        texts = columns[0]
    elif list(roles) == ["date", "clock"]:
        texts = columns[0] + " " + columns[1]
    else:
        return None
    if texts.null_count() == texts.len():
        return None
    if texts.str.ends_with("Z").all(ignore_nulls=True):
        plain = texts.str.strip_suffix("Z").str.replace(" ", "T", literal=True)
        stamp = f"%Y-%m-%dT%H:%M:%S{_fraction(plain)}"
        utc = plain.str.to_datetime(stamp, time_unit="us", strict=False)
        return _if_whole(utc.dt.replace_time_zone("UTC"), texts)
    if _all_fit(texts, _WITH_OFFSET):
        plain = texts.str.replace("Z", "+00:00", literal=True).str.replace(" ", "T", literal=True)
        utc = plain.str.to_datetime("%Y-%m-%dT%H:%M:%S%.f%:z", time_unit="us", strict=False)
        return _if_whole(utc.dt.convert_time_zone("UTC"), texts)
    return _local(plan, texts)


def _local(plan: TimePlan, texts: pl.Series) -> Found | None:
    for pattern, date_format, order in _FORMATS:
        if (order is None or order == plan.order) and _all_fit(texts, pattern + _CLOCK):
            plain = texts.str.replace("T", " ", literal=True)
            clock_format = f"%H:%M:%S{_fraction(texts)}"
            local = plain.str.to_datetime(
                f"{date_format} {clock_format}", time_unit="us", strict=False
            )
            if local.null_count() != texts.null_count():
                return None
            return _zoned(plan, local)
    return None


def _zoned(plan: TimePlan, local: pl.Series) -> Found | None:
    if plan.offset_min is not None:
        moved = (local.cast(pl.Int64) - plan.offset_min * 60_000_000).cast(pl.Datetime("us"))
        return moved.dt.replace_time_zone("UTC"), {}, [], []
    if plan.zone is None:
        return None
    strict = local.dt.replace_time_zone(plan.zone, ambiguous="null", non_existent="null")
    lost = strict.is_null() & local.is_not_null()
    skipped: list[int] = []
    doubled: list[int] = []
    if lost.any() and (plan.skipped or plan.doubled):
        return None
    if lost.any():
        early = local.dt.replace_time_zone(plan.zone, ambiguous="earliest", non_existent="null")
        doubled = (lost & early.is_not_null()).arg_true().to_list()
        skipped = (lost & early.is_null()).arg_true().to_list()
    return strict.dt.convert_time_zone("UTC"), {}, skipped, doubled


def _fraction(texts: pl.Series) -> str:
    """The format of fractions of a second where any cell has one: reading it takes four times."""
    return "%.f" if texts.str.contains(r"\.\d+$").any() else ""


def _all_fit(texts: pl.Series, pattern: str) -> bool:
    return bool(texts.str.contains(pattern).all(ignore_nulls=True))


def _if_whole(utc: pl.Series, texts: pl.Series) -> Found | None:
    return (utc, {}, [], []) if utc.null_count() == texts.null_count() else None
