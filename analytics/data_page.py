"""The data page of an import: what is missing, impossible, rounded or repeated."""

from dataclasses import dataclass

from analytics.db import Connection, ask

# A value that stands in more than this share of the rows, and in at least this many, is repeated.
REPEATED_SHARE = 0.2
REPEATED_ROWS = 5
# Fewer than this share of distinct values among many rows speaks of rounding.
ROUNDED_SHARE = 0.25
ROUNDED_ROWS = 12


@dataclass(frozen=True)
class ColumnPage:
    """One numeric column of one import, in SI units; `remarks` in plain words."""

    column: str
    n_rows: int
    n_missing: int
    n_distinct: int
    lowest: float
    middle: float
    highest: float
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class Impossible:
    """Rows of the import that were set aside, counted by column and reason."""

    column: str
    code: str
    n_rows: int
    first_line: int


@dataclass(frozen=True)
class DataPage:
    """All there is to say about the values of one import."""

    import_id: str
    columns: tuple[ColumnPage, ...]
    impossible: tuple[Impossible, ...]


def data_page(connection: Connection, import_id: str) -> DataPage:
    """The data page of an import that stands in the opened store."""
    rows = ask(connection, "data_page", {"import_id": import_id}).to_pylist()
    aside = ask(connection, "data_page_set_aside", {"import_id": import_id}).to_pylist()
    return DataPage(
        import_id,
        tuple(_column(row) for row in rows),
        tuple(Impossible(**row) for row in aside),
    )


def _column(row: dict[str, float | int | str]) -> ColumnPage:
    n_rows, n_missing = int(row["n_rows"]), int(row["n_missing"])
    return ColumnPage(
        column=str(row["column_name"]),
        n_rows=n_rows,
        n_missing=n_missing,
        n_distinct=int(row["n_distinct"]),
        lowest=float(row["lowest"]),
        middle=float(row["middle"]),
        highest=float(row["highest"]),
        remarks=tuple(_remarks(row, n_rows - n_missing, n_missing)),
    )


def _remarks(row: dict[str, float | int | str], n_present: int, n_missing: int) -> list[str]:
    remarks = []
    if n_missing:
        remarks.append(f"{n_missing} missing")
    often = int(row["n_commonest"])
    if often >= max(REPEATED_ROWS, REPEATED_SHARE * n_present):
        remarks.append(f"{float(row['commonest']):g} stands {often} times")
    if n_present >= ROUNDED_ROWS and int(row["n_distinct"]) < ROUNDED_SHARE * n_present:
        remarks.append(f"rounded: {row['n_distinct']} values in {n_present} rows")
    return remarks
