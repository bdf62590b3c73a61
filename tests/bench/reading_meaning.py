"""Figures of giving cells their meaning: corpora read right, and speed beside plain readers."""

import json
import tempfile
import time
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd
import polars as pl
import pyarrow.parquet as pq

from ingest.read_export import read_export
from ingest.reading import Options
from ingest.stream_reading import stream_export
from tests.bench.rows import Row
from tests.ingest.corpus_truth import differences, preview_of, truths

GROUP = "reading"
HEADER = (
    "Shot,Time,Club,Ball speed (mph),Club speed (mph),Launch angle (deg),Start direction (deg),"
    "Backspin (rpm),Carry (yd),Side (yd),Apex (ft),Note"
)
MPH, YARD, FOOT = 0.44704, 0.9144, 0.3048


def rows(quick: bool = False) -> list[Row]:
    """All figures of this group."""
    with tempfile.TemporaryDirectory() as folder:
        return [
            _corpus(),
            _asked(),
            *_small(Path(folder), 20 if quick else 400),
            _large(Path(folder), 100_000 if quick else 3_000_000),
        ]


def _corpus() -> Row:
    right = [not differences(*preview_of(path)) for path in truths()]
    share = sum(right) / len(right)
    return Row(
        f"own corpus of {len(right)} exports: values, lines and questions all right",
        GROUP,
        share,
        None,
        "1",
        share == 1.0,
    )


def _asked() -> Row:
    """Of the corpus files that prove everything, how many were asked about all the same."""
    sure = [p for p in truths() if not json.loads(p.read_text("utf-8"))["questions"]]
    asked = sum(bool(preview_of(path)[1]["questions"]) for path in sure)
    name = f"needless questions in {len(sure)} exports that prove everything"
    return Row(name, GROUP, float(asked), None, "0", asked == 0)


def _text(n_rows: int, seed: int, first: int = 0) -> str:
    rng = np.random.default_rng(seed)
    columns = [
        rng.uniform(low, high, n_rows).round(1)
        for low, high in ((20, 30), (18, 26), (25, 35), (-3, 3), (8, 14), (-1, 1), (3, 8))
    ]
    ball, club, launch, start, carry, side, apex = columns
    spin = rng.integers(2000, 5000, n_rows)
    stamps = np.datetime_as_string(
        np.datetime64("2000-01-01T08:00:00") + (first + np.arange(n_rows)) * np.timedelta64(21, "s")
    )
    lines = [
        f"{first + i + 1},{stamps[i]}Z,SW,{ball[i]},{club[i]},{launch[i]},{start[i]},{spin[i]},"
        f"{carry[i]},{side[i]},{apex[i]},"
        for i in range(n_rows)
    ]
    return "\n".join([HEADER, *lines, ""])


def _small(folder: Path, n_files: int) -> list[Row]:
    files = [folder / f"{i}.csv" for i in range(n_files)]
    for i, path in enumerate(files):
        path.write_text(_text(60, i))
    out = folder / "small.parquet"
    ours = _seconds(lambda path: _written(read_export(path, name=path.name).table, out), files)
    plain = _seconds(lambda path: pl.read_csv(path).write_parquet(out), files)
    script = _seconds(lambda path: _pandas(path, out), files)
    return [
        Row(
            "one export of 60 rows read and written, ms", GROUP, ours * 1000, None, "8", ours < 8e-3
        ),
        Row(
            "60-row exports against plain polars reading and writing them",
            GROUP,
            None,
            ours / plain,
            "<= 3",
            ours / plain <= 3,
        ),
        Row(
            "60-row exports: pandas script doing the conversion, against ours",
            GROUP,
            None,
            script / ours,
            ">= 1",
            script / ours >= 1,
        ),
    ]


def _written(table: pl.DataFrame, out: Path) -> None:
    table.write_parquet(out)


def _pandas(path: Path, out: Path) -> None:
    frame = pd.read_csv(path)
    frame["Time"] = pd.to_datetime(frame["Time"], utc=True)
    for column, factor in (("Ball speed (mph)", MPH), ("Club speed (mph)", MPH)):
        frame[column] *= factor
    for column, factor in (("Carry (yd)", YARD), ("Side (yd)", YARD), ("Apex (ft)", FOOT)):
        frame[column] *= factor
    kept = frame[(frame["Carry (yd)"] >= 0) & (frame["Carry (yd)"] <= 350)]
    kept.drop_duplicates().to_parquet(out)


def _seconds(work, files) -> float:
    """Median seconds a file, after one to warm up."""
    work(files[0])
    taken = []
    for path in files:
        start = time.perf_counter()
        work(path)
        taken.append(time.perf_counter() - start)
    return float(np.median(taken))


def _large(folder: Path, n_rows: int) -> Row:
    path, out = folder / "large.csv", folder / "large.parquet"
    with path.open("w") as file:
        file.write(HEADER + "\n")
        size = min(n_rows, 250_000)
        for first in range(0, n_rows, size):
            file.write(_text(size, first, first).split("\n", 1)[1])
    start = time.perf_counter()
    with duckdb.connect() as con:
        con.execute(f"COPY (FROM read_csv('{path}')) TO '{out}' (FORMAT parquet)")
    plain = time.perf_counter() - start
    start = time.perf_counter()
    kept = _streamed(path, out)
    ours = time.perf_counter() - start
    megabytes = path.stat().st_size / 1e6
    name = f"export of {megabytes:.0f} MB ({kept} rows kept) against DuckDB COPY to Parquet"
    return Row(name, GROUP, None, ours / plain, "<= 3", ours / plain <= 3)


def _streamed(path: Path, out: Path) -> int:
    with stream_export(path, name=path.name, options=Options()) as stream:
        writer = None
        for table in stream.batches():
            arrow = table.to_arrow()
            writer = writer or pq.ParquetWriter(out, arrow.schema)
            writer.write_table(arrow)
        if writer:
            writer.close()
        stream.reading()
        return stream.n_rows
