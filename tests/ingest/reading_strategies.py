"""Tables, ways to write them and ways to spoil them, for the tests of reading."""

import csv
import io
from dataclasses import dataclass

from hypothesis import strategies as st

NEWLINES = ("\n", "\r\n", "\r")
DELIMITERS = (",", ";", "\t", "|")
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252")
NAMES = (
    "Shot", "Club", "Ball Speed (mph)", "Carry [yds]", "Launch Angle", "Schläger", "Länge (m)",
    "Tempo", "Vitesse", "Note", "Side", "Spin", "Time", "Apex",
)  # fmt: skip


@dataclass(frozen=True)
class Table:
    """A header and rows of text; the first column counts the rows."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def numbers() -> st.SearchStrategy[str]:
    """Decimal numbers as text, with a point."""
    return st.decimals(-500, 500, places=2, allow_nan=False).map(str)


def notes(newline: str) -> st.SearchStrategy[str]:
    """Free text as people type it, with everything that makes quoting necessary."""
    pieces = st.sampled_from(
        ["good", "a, b", "x; y", 'said "go"', "tab\there", "pipe | here", "", "ö", "12' 6\"", "'"]
    )
    lines = st.lists(pieces, min_size=1, max_size=2).map(newline.join)
    return lines.map(lambda text: f"n {text} ." if text else "")


@st.composite
def tables(draw: st.DrawFn, newline: str = "\n") -> Table:
    """A table with a counter, a club, some numbers and perhaps a note."""
    n_numbers = draw(st.integers(1, 6))
    names = draw(st.permutations(NAMES[2:]).map(lambda names: tuple(names[:n_numbers])))
    with_note = draw(st.booleans())
    header = ("Shot", "Club", *names, *(("Remark",) if with_note else ()))
    n_rows = draw(st.integers(1, 12))
    rows = []
    for number in range(1, n_rows + 1):
        cells = [str(number), draw(st.sampled_from(["SW", "PW", "7I", "LW 58"]))]
        cells += draw(st.lists(numbers(), min_size=n_numbers, max_size=n_numbers))
        cells += [draw(notes(newline))] if with_note else []
        rows.append(tuple(cells))
    return Table(header, tuple(rows))


def written(
    table: Table, delimiter: str = ",", newline: str = "\n", quoting: int = csv.QUOTE_MINIMAL
) -> str:
    """The table as text, by the standard library's writer."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator=newline, quoting=quoting)
    writer.writerow(table.header)
    writer.writerows(table.rows)
    return out.getvalue()


FRAGMENT_BYTES = [
    b"\n", b"\r\n", b"\r", b",", b";", b"\t", b"|", b'"', b"'", b'""', b"\\", b'\\"', b"\x00",
    b"\xef\xbb\xbf", b"\xff\xfe", b"\xe4", b"\xc3\xa4", b"\x1a", b"  ", b" ", b"Average",
    b"Shot", b"Carry", b"mph", b"sep=;", b"Player: Kim", b"12.5", b"12,5", b"2026-05-01", b"SW",
    b"-", b"#", b"---", b"\xef\xbf\xbd", b"{", b"PK\x03\x04", b"\x1f\x8b",
]  # fmt: skip
FRAGMENTS = st.sampled_from(FRAGMENT_BYTES)


@st.composite
def spoiled(draw: st.DrawFn) -> bytes:
    """A sound file with some bytes cut out, put in or put twice."""
    table = draw(tables())
    delimiter = draw(st.sampled_from(DELIMITERS))
    newline = draw(st.sampled_from(NEWLINES))
    encoding = draw(st.sampled_from(ENCODINGS))
    data = written(table, delimiter, newline).encode(encoding, "replace")
    for _ in range(draw(st.integers(0, 5))):
        at = draw(st.integers(0, len(data)))
        until = min(len(data), at + draw(st.integers(0, 12)))
        kind = draw(st.sampled_from(["insert", "delete", "double"]))
        if kind == "insert":
            data = data[:at] + draw(FRAGMENTS) + data[at:]
        elif kind == "delete":
            data = data[:at] + data[until:]
        else:
            data = data[:until] + data[at:]
    return data


def any_bytes() -> st.SearchStrategy[bytes]:
    """Spoiled tables, heaps of telling fragments, and noise."""
    heaps = st.lists(FRAGMENTS, max_size=40).map(b"".join)
    return st.one_of(spoiled(), heaps, st.binary(max_size=300))
