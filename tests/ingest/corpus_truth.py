"""Comparing a preview with the truth beside a corpus file: rows, lines, questions."""

import json
import math
from collections import Counter
from pathlib import Path

from ingest.preview_json import as_preview
from ingest.read_export import read_export
from ingest.reading import Options

CORPUS = Path(__file__).parent / "corpus"
TOLERANCE = 1e-6


def truths():
    """Every truth file of the corpus."""
    return sorted(CORPUS.glob("*.json"))


def preview_of(path):
    """(truth, preview) of one corpus file."""
    truth = json.loads(path.read_text("utf-8"))
    options = Options(**truth.get("options", {}))
    reading = read_export(CORPUS / truth["file"], name=truth["file"], options=options)
    return truth, as_preview(reading)


def differences(truth, preview):
    """What is wrong in `preview`, as plain sentences; none when every value and line is right."""
    found = [
        f"{key}: {preview[key]!r}, not {truth[key]!r}"
        for key in ("kind", "outcome", "header_line", "unknown_columns")
        if key in truth and preview[key] != truth[key]
    ]
    found += _rows(truth["rows"], preview["rows"])
    for key, names in (
        ("set_aside", ("line", "column", "value", "code")),
        ("repeats", ("line", "of_line")),
        ("structure", ("line", "kind")),
        ("questions", ("column", "kind", "lines")),
    ):
        found += _entries(key, names, truth[key], preview[key])
    for entry in truth.get("mapped", []):
        if entry not in preview["mapped"]:
            found.append(f"mapped: {entry} is missing among {preview['mapped']}")
    return found


def _entries(key, names, wanted, got):
    def keyed(entries):
        return sorted(
            str([entry.get(name) for name in names if name in entry]) for entry in entries
        )

    left, right = keyed(wanted), keyed([{n: e[n] for n in names} for e in got])
    return [] if left == right else [f"{key}: {right}, not {left}"]


def _rows(wanted, got):
    lines = [row["line"] for row in got]
    if lines != [row["line"] for row in wanted]:
        return [f"rows at lines {lines}, not {[row['line'] for row in wanted]}"]
    found = []
    for want, row in zip(wanted, got, strict=True):
        values = {name: value for name, value in row["values"].items() if value is not None}
        for name in sorted(set(values) | set(want["values"])):
            if not same(values.get(name), want["values"].get(name)):
                at = f"line {row['line']}, {name}"
                found.append(f"{at}: {values.get(name)!r}, not {want['values'].get(name)!r}")
        if row["extra"] != want["extra"]:
            found.append(f"line {row['line']}, extra: {row['extra']}, not {want['extra']}")
    return found


def same(left, right):
    """Equal, numbers to 1e-6."""
    numbers = (int, float)
    if isinstance(left, numbers) and isinstance(right, numbers):
        return math.isclose(left, right, rel_tol=TOLERANCE, abs_tol=TOLERANCE)
    return left == right


def lines_missed(preview, n_lines, spans):
    """Physical lines that are not in exactly one place. `spans` is first line → number of lines."""
    places = Counter(
        line + step
        for key in ("rows", "set_aside", "repeats", "structure")
        for line in (entry["line"] for entry in preview[key])
        for step in range(spans.get(line, 1))
    )
    return sorted(
        line for line in set(range(1, n_lines + 1)) | set(places) if places.get(line, 0) != 1
    )
