"""Columns of words that people write in many ways: clubs, and what balls are struck from."""

from collections.abc import Callable, Mapping

import polars as pl

from ingest.clubs import read_club
from ingest.surfaces import read_surface


def club_columns(texts: pl.Series) -> dict[str, pl.Series]:
    """`club_text`, `club` and (where a text states one) `loft_deg` of club texts."""
    rows = texts.to_list()
    known = {text: read_club(text) for text in dict.fromkeys(rows) if text is not None}
    columns = {
        "club_text": texts,
        "club": pl.Series(
            [known[t].kind if t is not None else None for t in rows], dtype=pl.String
        ),
    }
    if any(club.loft_deg is not None for club in known.values()):
        lofts = [known[t].loft_deg if t is not None else None for t in rows]
        columns["loft_deg"] = pl.Series(lofts, dtype=pl.Float64)
    return columns


def surface_columns(texts: pl.Series) -> dict[str, pl.Series]:
    """`surface` of every row, null where none is written."""
    rows = texts.to_list()
    known = {text: read_surface(text) for text in dict.fromkeys(rows) if text is not None}
    return {"surface": pl.Series([known.get(text) for text in rows], dtype=pl.String)}


WORDED: Mapping[str, Callable[[pl.Series], dict[str, pl.Series]]] = {
    "club_text": club_columns,
    "surface": surface_columns,
}
"""What each such column becomes."""
