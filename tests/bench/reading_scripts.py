"""What a person would script with pandas for the same conversion, in two lengths.

`plain_script` converts units and times and drops what it cannot read, without a word.
`checking_script` promises what an import promises: it finds out encoding and delimiter, accounts
for every line, sets rows aside with their line and reason, tells exact repeats, gives each row an
identity, keeps the bytes as received and makes all of it last before it shows. It still knows the
headers beforehand, asks nothing and takes one layout.
"""

import csv
import hashlib
import json
import os
from pathlib import Path

import pandas as pd
import zstandard

FT, YD, MPH = 0.3048, 0.9144, 0.44704
FACTORS = {
    "Club speed (mph)": MPH,
    "Ball speed (mph)": MPH,
    "Carry (yd)": YD,
    "Side (yd)": YD,
    "Apex (ft)": FT,
}
AS_THEY_ARE = ("Launch angle (deg)", "Spin rate (rpm)")
LIMITS = {
    "Club speed (mph)": (0.5, 80.0),
    "Ball speed (mph)": (0.5, 110.0),
    "Carry (yd)": (0.0, 400.0),
    "Side (yd)": (-200.0, 200.0),
    "Apex (ft)": (0.0, 100.0),
    "Launch angle (deg)": (-30.0, 90.0),
    "Spin rate (rpm)": (0.0, 20_000.0),
}


def plain_script(path: Path, folder: Path) -> None:
    """Units, times, two bounds and repeats."""
    frame = pd.read_csv(path, dtype=str)
    frame = frame.drop_duplicates()
    for name, factor in FACTORS.items():
        frame[name] = pd.to_numeric(frame[name], errors="coerce") * factor
    for name in AS_THEY_ARE:
        frame[name] = pd.to_numeric(frame[name], errors="coerce")
    frame["Time"] = pd.to_datetime(frame["Time"], errors="coerce").dt.tz_localize("UTC")
    frame = frame[(frame["Carry (yd)"] >= 0) & (frame["Ball speed (mph)"] > 0)]
    frame.to_parquet(folder / f"{path.stem}.parquet", compression="zstd")


def checking_script(path: Path, folder: Path) -> None:
    """The same with an account of every line, identities, the kept source and syncs."""
    data = path.read_bytes()
    text = _decoded(data)
    dialect = csv.Sniffer().sniff(text[:4096], ",;\t|")
    raw = pd.read_csv(path, dtype=str, sep=dialect.delimiter, keep_default_na=False)
    raw["line"] = range(2, len(raw) + 2)
    cells = [name for name in raw.columns if name != "line"]
    faults: dict[int, str] = {}
    frame = raw.copy()
    for name, (low, high) in LIMITS.items():
        values = pd.to_numeric(raw[name].str.strip(), errors="coerce")
        _note(faults, raw[values.isna() & (raw[name].str.strip() != "")], f"{name}: no number")
        values *= FACTORS.get(name, 1.0)
        _note(faults, raw[(values < low) | (values > high)], f"{name}: beyond its limits")
        frame[name] = values
    when = pd.to_datetime(raw["Time"], errors="coerce", format="%Y-%m-%d %H:%M:%S")
    _note(faults, raw[when.isna()], "Time: no time")
    frame["Time"] = when.dt.tz_localize("UTC")
    repeats = raw[cells].duplicated()
    frame["event"] = pd.util.hash_pandas_object(frame[["Time", "Shot"]], index=False)
    frame["occurrence"] = frame.groupby("event").cumcount()
    kept = frame[~repeats & ~raw["line"].isin(faults)]
    lines = len(kept) + len(faults) + int(repeats.sum())
    if lines < len(raw):
        raise ValueError(f"{path.name}: lines are unaccounted for")
    _keep(folder, path.stem, kept, faults, data)


def _decoded(data: bytes) -> str:
    for encoding in ("utf-8-sig", "utf-16", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _note(faults: dict[int, str], rows: pd.DataFrame, reason: str) -> None:
    for line in rows["line"]:
        faults.setdefault(int(line), reason)


def _keep(folder: Path, stem: str, kept: pd.DataFrame, faults: dict[int, str], data: bytes) -> None:
    staged, place = folder / f"{stem}.tmp", folder / stem
    staged.mkdir()
    kept.to_parquet(staged / "shots.parquet", compression="zstd")
    (staged / "source.zst").write_bytes(zstandard.ZstdCompressor().compress(data))
    entry = {
        "sha256": hashlib.sha256(data).hexdigest(),
        "rows_kept": len(kept),
        "set_aside": [{"line": line, "reason": faults[line]} for line in sorted(faults)],
    }
    (staged / "import.json").write_text(json.dumps(entry), "utf-8")
    for part in (*staged.iterdir(), staged):
        handle = os.open(part, os.O_RDONLY)
        os.fsync(handle)
        os.close(handle)
    staged.rename(place)
