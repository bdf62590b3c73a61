"""Reading figures: polluted files against general readers, speed ratios, fuzzing.

Every reader gets the path alone, with no option but "all cells as text". The score of a file is the
F1 of its cells: a cell counts when it stands in the right column of the right row. Rows that the
pollution destroyed are not asked for, but whoever makes up cells for them loses precision.
"""

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd
import polars as pl

from ingest.errors import IngestError
from ingest.read_columns import read_columns
from ingest.read_csv import read_sheets
from tests.bench.pollutions import Polluted, Rows, polluted_files
from tests.bench.rows import Row

GROUP = "reading"
_IN_TURN = 25
Reader = Callable[[Path], tuple[list[str], Rows]]


def rows(quick: bool = False) -> list[Row]:
    """All figures of this group."""
    with tempfile.TemporaryDirectory() as folder:
        return [
            *_polluted(Path(folder)),
            *_large(Path(folder), 100_000 if quick else 12_500_000),
            *_small(Path(folder), 200 if quick else 5_000),
            _fuzzed(2_000 if quick else 200_000),
        ]


def _carrybook(path: Path) -> tuple[list[str], Rows]:
    sheet = read_sheets(path)[0]
    header = list(sheet.header) if sheet.header_line else []
    return header, [list(record.cells) for record in sheet.records]


def _duckdb(path: Path) -> tuple[list[str], Rows]:
    found = duckdb.connect().read_csv(str(path), all_varchar=True)
    return found.columns, [[cell or "" for cell in row] for row in found.fetchall()]


def _polars(path: Path) -> tuple[list[str], Rows]:
    frame = pl.read_csv(path, infer_schema=False)
    return frame.columns, [[cell or "" for cell in row] for row in frame.rows()]


def _pandas(path: Path) -> tuple[list[str], Rows]:
    frame = pd.read_csv(path, dtype=str, keep_default_na=False)
    return list(frame.columns), [[str(cell) for cell in row] for row in frame.to_numpy().tolist()]


def _clevercsv(path: Path) -> tuple[list[str], Rows]:
    """In a process of its own: it may take very long, which counts as a failure after 30 s."""
    call = "import clevercsv,json,sys;print(json.dumps(clevercsv.read_table(sys.argv[1])))"
    done = subprocess.run(
        [sys.executable, "-c", call, str(path)], capture_output=True, timeout=30, check=True
    )
    table = json.loads(done.stdout)
    return table[0], table[1:]


READERS: dict[str, Reader] = {
    "carrybook": _carrybook,
    "DuckDB": _duckdb,
    "polars": _polars,
    "pandas": _pandas,
    "CleverCSV": _clevercsv,
}
# Whatever a foreign reader raises means that it did not read the file.
_REFUSALS = (
    IngestError, OSError, ValueError, LookupError, duckdb.Error, pl.exceptions.PolarsError,
    subprocess.SubprocessError, TypeError, AttributeError,
)  # fmt: skip


def score(file: Polluted, path: Path, reader: Reader) -> float:
    """F1 of the cells of one file, 0 when the reader refuses it."""
    try:
        header, found = reader(path)
    except _REFUSALS:
        return 1.0 if not file.rows and not file.header else 0.0
    truth = _cells(list(file.header), file.rows)
    read = _cells(header if file.header else [], found)
    right = len(truth & read)
    return 2 * right / (len(truth) + len(read)) if truth or read else 1.0


def _cells(header: list[str], rows: Rows) -> set[tuple[str, int, str]]:
    """Cells as (row, column, text): a row is known by its first cell, the header by its place."""
    named = {("header", i, name.strip()) for i, name in enumerate(header)}
    return named | {
        (f"{row[0].strip()}", i, cell.strip()) for row in rows if row for i, cell in enumerate(row)
    }


def scores() -> dict[str, dict[str, float]]:
    """Reader → pollution → score."""
    with tempfile.TemporaryDirectory() as folder:
        return _scores(Path(folder))


def _scores(folder: Path) -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = {name: {} for name in READERS}
    for i, file in enumerate(polluted_files()):
        path = folder / f"polluted_{i}{file.suffix}"
        path.write_bytes(file.data)
        for name, reader in READERS.items():
            found[name][file.name] = score(file, path, reader)
    return found


def _polluted(folder: Path) -> Iterator[Row]:
    found = {name: float(np.mean(list(each.values()))) for name, each in _scores(folder).items()}
    best = max(value for name, value in found.items() if name != "carrybook")
    n = len(polluted_files())
    yield Row(
        f"{n} polluted files by path alone: mean F1 of cells", GROUP, found["carrybook"], None,
        f"above the best other ({best:.3f})", found["carrybook"] > best,
    )  # fmt: skip
    for name, value in found.items():
        if name != "carrybook":
            yield Row(f"the same files, {name}", GROUP, value, None, "for comparison", holds=True)


def write_launch_csv(path: Path, n_rows: int) -> None:
    """A clean launch export of so many rows (about 80 bytes each)."""
    random = np.random.default_rng(5)
    speeds, spins = random.normal(12, 2, 5_000), random.integers(2_000, 5_000, 5_000)
    tails = [
        f"2026-05-{1 + i % 28:02d} 10:{i % 60:02d}:{7 * i % 60:02d},SW,{v:.2f},{v * 1.21:.2f},"
        f"{27 + v / 9:.1f},{v - 12:.2f},{s},{v * v / 9:.3f},{v * v / 7:.3f},{(v - 12) / 5:.3f},"
        for i, (v, s) in enumerate(zip(speeds, spins, strict=True))
    ]
    with path.open("w", encoding="utf-8") as out:
        out.write(
            "Shot,Time,Club,Club Speed (m/s),Ball Speed (m/s),Launch (deg),Start (deg),"
            "Spin (rpm),Carry (m),Total (m),Side (m),Note\n"
        )
        for start in range(0, n_rows, len(tails)):
            out.write("".join(f"{start + i},{tail}\n" for i, tail in enumerate(tails)))


def _timed(job: Callable[[], object]) -> float:
    started = time.perf_counter()
    job()
    return time.perf_counter() - started


def _columns(path: Path) -> int:
    with read_columns(path) as sheet:
        return sum(len(batch.lines) for batch in sheet.batches())


def _large(folder: Path, n_rows: int) -> Iterator[Row]:
    path, out = folder / "large.csv", str(folder / "large.parquet")
    write_launch_csv(path, n_rows)
    megabytes = path.stat().st_size / 1e6
    ours = _timed(lambda: _columns(path))
    relation = duckdb.connect().read_csv(str(path))
    theirs = _timed(lambda: relation.to_parquet(out, compression="zstd"))
    yield Row(
        f"{megabytes:.0f} MB clean launch CSV to columns, against DuckDB to Parquet", GROUP, ours,
        ours / theirs, "≤ 1.5 (reading alone; the whole import ≤ 3)", ours / theirs <= 1.5,
    )  # fmt: skip
    peak = _peak_megabytes(path)
    yield Row(
        f"peak memory of reading {megabytes:.0f} MB in columns (MB)", GROUP, peak, None, "≤ 500",
        peak <= 500,
    )  # fmt: skip
    path.unlink()


_PEAK = """
import sys
from pathlib import Path
from ingest.read_columns import read_columns
with read_columns(Path(sys.argv[1])) as sheet:
    for batch in sheet.batches():
        pass
status = Path("/proc/self/status").read_text()
print(next(line for line in status.splitlines() if line.startswith("VmHWM")).split()[1])
"""


def _peak_megabytes(path: Path) -> float:
    """Peak resident memory of a process of its own that reads the file and nothing else."""
    done = subprocess.run([sys.executable, "-c", _PEAK, str(path)], capture_output=True, check=True)
    return float(done.stdout) / 1000


def _small(folder: Path, n_files: int) -> Iterator[Row]:
    paths = []
    for i in range(n_files):
        paths.append(folder / f"small_{i}.csv")
        write_launch_csv(paths[-1], 1)
        lines = paths[-1].read_text().splitlines(keepends=True)
        paths[-1].write_text("".join([lines[0], *lines[1 + i % 1000 : 61 + i % 1000]]))
    out = folder / "small.parquet"
    ours = theirs = 0.0
    for start in range(0, n_files, _IN_TURN):  # by turns, so that other load falls on both
        some = paths[start : start + _IN_TURN]
        ours += _timed(lambda some=some: [read_sheets(path) for path in some])
        theirs += _timed(lambda some=some: [pl.read_csv(p).write_parquet(out) for p in some])
    yield Row(
        f"{n_files} files of 60 rows read, against polars reading and writing each", GROUP, ours,
        ours / theirs, "≤ 1 (reading alone; the whole import ≤ 3)", ours / theirs <= 1,
    )  # fmt: skip


def _fuzzed(n_inputs: int) -> Row:
    from tests.bench.reading_fuzz import fuzz  # noqa: PLC0415 (hypothesis is slow to import)

    found = fuzz(n_inputs)
    return Row(
        f"{n_inputs} spoiled inputs: crashes, hangs over 2 s, lines unaccounted for", GROUP,
        float(found), None, "0", found == 0,
    )  # fmt: skip
