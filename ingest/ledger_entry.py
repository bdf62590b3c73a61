"""Writes the ledger entry of one reading: what came, as what it was read, what became of it."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np

from ingest.answers import question_as_json
from ingest.ledger import Ledger, import_identity
from ingest.options import Options
from ingest.provenance import carrybook_version
from ingest.reading import Reading
from ingest.repeats import Repeat

TABLE_OF_KIND = {
    "launch": "shots",
    "tempo": "swings",
    "marks": "marks",
    "scores": "scores",
    "sessions": "sessions",
}


@dataclass(frozen=True)
class Arrival:
    """One file as it arrived."""

    name: str
    source: Path | bytes
    sha256: str
    player_id: str
    options: dict[str, str]
    at: datetime

    def size(self) -> int:
        """Bytes as received."""
        return len(self.source) if isinstance(self.source, bytes) else self.source.stat().st_size


def ledger_entry(reading: Reading, arrival: Arrival, n_rows: int | None = None) -> Ledger:
    """The entry for `reading` of `arrival`; `n_rows` were kept where `reading` holds no rows."""
    table = TABLE_OF_KIND[reading.kind]
    kept = reading.table.height if n_rows is None else n_rows
    return Ledger(
        import_id=import_identity(
            arrival.sha256, arrival.player_id, reading.layout, arrival.options
        ),
        player_id=arrival.player_id,
        kind=reading.kind,
        source_name=arrival.name,
        source_sha256=arrival.sha256,
        source_bytes=arrival.size(),
        layout=reading.layout,
        imported_at_utc=arrival.at.isoformat(),
        imported_by=carrybook_version(),
        rows_in=kept + len(reading.set_aside) + len(reading.repeats),
        rows_kept=kept,
        rows_set_aside=len(reading.set_aside),
        rows_repeated=len(reading.repeats),
        questions_open=len(reading.questions),
        tables=[table, "set_aside"] if reading.set_aside else [table],
        options=arrival.options,
        details=_details(reading),
    )


def _details(reading: Reading) -> dict[str, object]:
    return {
        "header_line": reading.header_line,
        "mapped": [asdict(column) for column in reading.mapped],
        "unknown_columns": list(reading.unknown_columns),
        "metadata": dict(reading.metadata),
        "structure": [{"line": entry.line, "kind": entry.kind} for entry in reading.structure],
        "repeats": runs_of_repeats(reading.repeats),
        "questions": [question_as_json(entry) for entry in reading.questions],
        **_of_workbook(reading),
    }


def _of_workbook(reading: Reading) -> dict[str, object]:
    """Which sheets were read, of a workbook with several."""
    if not reading.other_sheets:
        return {}
    return {"sheets": list(reading.sheets), "other_kinds": list(reading.other_kinds)}


def runs_of_repeats(repeats: Sequence[Repeat]) -> list[dict[str, int]]:
    """Repeats as runs: `n` lines from `line` on repeat as many from `of_line` on, one by one."""
    if not repeats:
        return []
    at = np.fromiter(chain.from_iterable(repeats), np.int64, 2 * len(repeats)).reshape(-1, 2)
    starts = np.flatnonzero(np.r_[True, (np.diff(at, axis=0) != 1).any(axis=1)])
    lengths = np.diff(np.r_[starts, len(at)])
    return [
        {"line": line, "of_line": of_line, "n": n}
        for (line, of_line), n in zip(at[starts].tolist(), lengths.tolist(), strict=True)
    ]


def options_text(options: Options) -> dict[str, str]:
    """The options that were given, as text: part of an import's identity."""
    given: dict[str, str] = {}
    for entry in fields(options):
        value = getattr(options, entry.name)
        if isinstance(value, Mapping):
            given |= {f"{entry.name}.{key}": str(value[key]) for key in sorted(value)}
        elif value is not None:
            given[entry.name] = str(value)
    return given


def options_from_text(text: Mapping[str, str]) -> Options:
    """The options that `options_text` wrote (`units.carry_m`, `answers.q1`, `zone` …)."""
    said: dict[str, Any] = {"units": {}, "answers": {}}
    for name, value in text.items():
        group, dot, key = name.partition(".")
        if dot:
            said[group][key] = value
        else:
            said[name] = int(value) if name == "year" else value
    return Options(**said)
