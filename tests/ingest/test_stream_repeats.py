"""Exact repeats over many batches: the same rows as row by row, two real equal shots kept."""

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

import ingest.read_columns
from ingest.options import Options
from ingest.read_export import read_export
from ingest.stream_reading import stream_export
from ingest.stream_repeats import SeenRows

HEADER = "Shot,Time,Club,Ball speed (mph),Carry (yd)\n"


@given(st.lists(st.lists(st.integers(0, 12), max_size=9), max_size=9))
def test_the_first_line_of_every_row_is_remembered(batches):
    seen, first, line = SeenRows(), {}, 0
    for batch in batches:
        lines = np.arange(line, line + len(batch), dtype=np.int64)
        line += len(batch)
        for key, at in zip(batch, lines, strict=True):
            first.setdefault(key, at)
        found = seen.add(np.array(batch, dtype=np.uint64), lines)
        assert found.tolist() == [first[key] for key in batch]


def streamed(text):
    with stream_export(text.encode(), name="big.csv", options=Options()) as stream:
        return pl.concat(list(stream.batches())), stream.reading()


def shots(n, clock="{:02d}:{:02d}:{:02d}"):
    times = [clock.format(10 + k // 3600, k // 60 % 60, k % 60) for k in range(n)]
    return [f"{k},2026-03-14 {at},SW,{20 + k % 7},{8 + k % 5}\n" for k, at in enumerate(times)]


@pytest.mark.parametrize("case", ["numbered", "to the second", "to the minute"])
def test_repeats_are_told_from_equal_shots_as_in_a_short_file(case, monkeypatch):
    monkeypatch.setattr(ingest.read_columns, "_LARGEST_PIECE", 4096)
    rows = shots(600, "{:02d}:{:02d}" if case == "to the minute" else "{:02d}:{:02d}:{:02d}")
    rows = [*rows, *rows[100:400], *rows[:50]]
    header = HEADER
    if case != "numbered":
        header, rows = HEADER[5:], [row.partition(",")[2] for row in rows]
    table, reading = streamed(header + "".join(rows))
    whole = read_export((header + "".join(rows)).encode(), name="big.csv")
    assert reading.repeats == whole.repeats
    assert table["source_line"].equals(whole.table["source_line"])
    assert bool(whole.repeats) == (case != "to the minute")
