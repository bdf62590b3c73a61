"""Pairs two export files without a store; every row is named by its physical line."""

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import polars as pl

from analytics.pairing import Pairing, pair
from analytics.pairing_logs import Floats, LaunchLog, SwingLog
from ingest.errors import NoLayout
from ingest.options import Options
from ingest.reading import Reading, read_export

Document = dict[str, object]


def pair_files(launch: Path, swings: Path) -> Document:
    """The pairing of two files as one JSON document; local times without a zone count as UTC."""
    struck, swung = _read(launch, "launch"), _read(swings, "tempo")
    found = pair(
        LaunchLog(
            _seconds(struck, "struck_at_utc"),
            *(_numbers(struck, name) for name in ("ball_speed_mps", "club_speed_mps", "carry_m")),
        ),
        SwingLog(
            _seconds(swung, "swung_at_utc"),
            *(_numbers(swung, name) for name in ("peak_speed_mps", "backswing_s", "downswing_s")),
        ),
    )
    return _document(found, struck["source_line"].to_list(), swung["source_line"].to_list())


def as_text(document: Mapping[str, object]) -> str:
    """The document's verdict in a sentence."""
    pairs = document["pairs"]
    assert isinstance(pairs, list)
    return f"{document['verdict']}: {len(pairs)} pairs. {document['reason']}".strip()


def _read(path: Path, kind: str) -> pl.DataFrame:
    reading: Reading = read_export(path, name=path.name, options=Options(player_zone="UTC"))
    if reading.kind != kind:
        raise NoLayout(
            f"this is no {kind} export ({reading.reason or reading.kind}).",
            "look at it with `carrybook preview`.",
            file=path.name,
        )
    return reading.table


def _seconds(frame: pl.DataFrame, name: str) -> Floats:
    if name not in frame.columns:
        return np.full(frame.height, np.nan)
    return frame[name].dt.epoch("us").cast(pl.Float64).fill_null(np.nan).to_numpy() / 1e6


def _numbers(frame: pl.DataFrame, name: str) -> Floats:
    if name not in frame.columns:
        return np.full(frame.height, np.nan)
    return frame[name].cast(pl.Float64).fill_null(np.nan).to_numpy()


def _document(found: Pairing, shot_lines: list[int], swing_lines: list[int]) -> Document:
    clock = found.clock
    return {
        "verdict": found.verdict,
        "reason": " ".join(part for part in (found.reason, found.mend) if part),
        "clock": {
            "offset_s": clock.offset_s if clock else None,
            "drift_ppm": clock.drift_ppm if clock else None,
            "steps": [
                {
                    "at_utc": datetime.fromtimestamp(step.at_s, UTC).isoformat(),
                    "size_s": step.size_s,
                }
                for step in (clock.steps if clock else ())
            ],
            "residual_s": clock.residual_s if clock else None,
            "margin": clock.margin if clock else None,
        },
        "pairs": [
            {
                "launch_line": shot_lines[one.shot],
                "swing_line": swing_lines[one.swing],
                "probability": one.probability,
            }
            for one in found.pairs
        ],
        "rehearsals": [
            {
                "swing_line": swing_lines[one.swing],
                "launch_line": None if one.shot is None else shot_lines[one.shot],
                "role": one.role,
                "probability": one.probability,
            }
            for one in found.rehearsals
        ],
        "other": [{"swing_line": swing_lines[row], "why": why} for row, why in found.other],
    }
