"""The whole trip of exports, all checks on, against plain converters of the same files.

Limits: DuckDB `COPY … TO parquet` of one large launch CSV; plain polars reading and writing many
small files; pandas scripts of the same conversion, with and without checks.
"""

import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import duckdb
import numpy as np
import polars as pl

from api.take_in import FILES_PER_COMMIT
from ingest.import_file import import_file
from ingest.options import Options
from ingest.overlap import Known
from ingest.players import Player
from ingest.prepare_ahead import prepared_ahead
from ingest.store import Batch
from tests.bench.reading_scripts import checking_script, plain_script
from tests.bench.rows import Row

PLAYER = Player("pbench", "Bench", zone="UTC")
HEADER = (
    "Shot,Time,Club,Club speed (mph),Ball speed (mph),Launch angle (deg),Spin rate (rpm),"
    "Carry (yd),Side (yd),Apex (ft),Note\n"
)


def rows(quick: bool) -> list[Row]:
    """One large file and many small ones."""
    folder = Path(tempfile.mkdtemp(prefix="carrybook-bench-"))
    try:
        return [*_large(folder, 60 if quick else 1000), *_small(folder, 300 if quick else 5000)]
    finally:
        shutil.rmtree(folder)


def write_export(path: Path, n: int, start: int = 0) -> None:
    """A clean launch CSV of `n` rows, in order of time."""
    random = np.random.default_rng(start)
    with path.open("w", encoding="utf-8") as out:
        out.write(HEADER)
        for at in range(start, start + n, 200_000):
            size = min(200_000, start + n - at)
            shot = np.arange(at, at + size)
            when = (np.datetime64("2026-01-01T08:00:00") + shot * np.timedelta64(7, "s")).astype(
                str
            )
            speed = random.normal(20, 2, size)
            frame = pl.DataFrame(
                {
                    "shot": shot,
                    "time": [text.replace("T", " ") for text in when],
                    "club": random.choice(["SW", "PW", "GW"], size),
                    "club_speed": np.round(speed, 1),
                    "ball_speed": np.round(speed * 1.1, 1),
                    "launch": np.round(random.normal(32, 2, size), 1),
                    "spin": random.integers(2500, 4000, size),
                    "carry": np.round(speed**2 / 40, 1),
                    "side": np.round(random.normal(0, 1, size), 1),
                    "apex": np.round(random.normal(6, 1, size), 1),
                    "note": ["as played"] * size,
                }
            )
            out.write(frame.write_csv(include_header=False))


def _large(folder: Path, megabytes: int) -> list[Row]:
    path = folder / "large.csv"
    write_export(path, int(megabytes * 1e6 / 88))
    duck = _best(lambda: _duckdb_copy(path, folder / "duck.parquet"), 2)
    began = time.perf_counter()
    subprocess.run([sys.executable, "-m", "tests.bench.reading_trip", str(path)], check=True)
    ours = time.perf_counter() - began - _start_up()
    peak_kb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    size = path.stat().st_size / 1e6
    return [
        Row(
            f"import a {size:.0f} MB launch CSV ÷ DuckDB COPY of it to Parquet",
            "reading",
            None,
            ours / duck,
            "≤ 3",
            ours / duck <= 3,
        ),
        Row(
            f"peak memory of that import, GB ({size:.0f} MB file)",
            "reading",
            peak_kb / 1e6,
            None,
            "≤ 2",
            peak_kb / 1e6 <= 2,
        ),
    ]


def _small(folder: Path, n_files: int) -> list[Row]:
    paths = []
    for k in range(n_files):
        path = folder / f"{k:05d}.csv"
        write_export(path, 60, start=60 * k)
        paths.append(path)
    ours = _best(lambda: _import_all(paths, folder / "store"), 1)
    plain = _best(lambda: _polars_each(paths, folder / "plain"), 1)
    short = _best(lambda: _each(plain_script, paths, folder / "short"), 1)
    checked = _best(lambda: _each(checking_script, paths, folder / "checked"), 1)
    return [
        Row(
            f"import {n_files} files of 60 rows ÷ plain polars read and write of each",
            "reading",
            None,
            ours / plain,
            "≤ 3",
            ours / plain <= 3,
        ),
        Row(
            f"a pandas script with the same checks over {n_files} such files ÷ import of them",
            "reading",
            None,
            checked / ours,
            "≥ 2",
            checked / ours >= 2,
        ),
        Row(
            f"a pandas script without any check over {n_files} such files ÷ import of them",
            "reading",
            None,
            short / ours,
            "for comparison",
            holds=True,
        ),
    ]


def _duckdb_copy(path: Path, target: Path) -> None:
    with duckdb.connect() as connection:
        connection.read_csv(str(path)).write_parquet(str(target), compression="zstd")


def _import_all(paths: list[Path], store: Path) -> None:
    batch, known = Batch(store), Known(store)
    with closing(prepared_ahead(store, paths, PLAYER, Options())) as coming:
        for k, (path, ready) in enumerate(zip(paths, coming, strict=True), start=1):
            import_file(
                store, path, PLAYER, options=Options(), batch=batch, known=known, ready=ready
            )
            if k % FILES_PER_COMMIT == 0:
                batch.commit()
    batch.commit()


def _polars_each(paths: list[Path], folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for path in paths:
        pl.read_csv(path, try_parse_dates=True).write_parquet(folder / f"{path.stem}.parquet")


def _each(script: Callable[[Path, Path], None], paths: list[Path], folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for path in paths:
        script(path, folder)


def _best(task: Callable[[], None], times: int) -> float:
    spent = []
    for _ in range(times):
        began = time.perf_counter()
        task()
        spent.append(time.perf_counter() - began)
    return min(spent)


def _start_up() -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", "import tests.bench.reading_trip"], check=True)
    return time.perf_counter() - began


if __name__ == "__main__":
    store = Path(tempfile.mkdtemp(prefix="carrybook-bench-store-"))
    try:
        import_file(store, Path(sys.argv[1]), PLAYER, options=Options())
    finally:
        shutil.rmtree(store)
