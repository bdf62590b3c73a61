"""A second set of spoiled files, of a table that has nothing to do with golf.

The kinds of pollution are those that the literature on messy CSV files names: delimiter, quotation,
escape, record end, encoding, preamble, footnote, several tables, uneven rows, empty lines, header
missing, repeated or in several lines, and cells that hold line ends or delimiters. Source:
Vitagliano et al., "Pollock: A Data Loading Benchmark", PVLDB 16(8), 2023. Small mistakes in every
place of a table are in `pollutions_cells`.
"""

from collections.abc import Iterator
from dataclasses import dataclass

HEADER = ["id", "name", "city", "amount", "date", "active"]
ROWS = [
    ["1", "Alice Smith", "Berlin", "10.50", "2021-03-01", "true"],
    ["2", "Bob", "Paris", "7.25", "2021-03-02", "false"],
    ["3", "Chloé", "São Paulo", "1200.00", "2021-03-03", "true"],
    ["4", "Dan", "", "3.10", "2021-03-04", "false"],
    ["5", "Eve", "New York", "88.00", "2021-03-05", "true"],
    ["6", "Finn", "Oslo", "0.99", "2021-03-06", "true"],
]
SPECIAL = [list(row) for row in ROWS]
SPECIAL[1][1], SPECIAL[2][1], SPECIAL[4][2] = 'Bob "the man" X', "Smith, John", "New\nYork"
DELIMITERS = (";", "\t", "|", ":", "^", "~", " ", "!", "#", "\x1f", "\x01", "; ", ", ", ",,")
ENCODINGS = ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "mac_roman", "cp850")


@dataclass(frozen=True)
class General:
    """One file: `header` (None: not checked) and the rows that must be read, in order."""

    name: str
    data: bytes
    header: list[str] | None
    rows: list[list[str]]


def written(
    rows: list[list[str]], delimiter: str = ",", end: str = "\n", quote: str = '"', escape: str = ""
) -> str:
    """Rows as text, quoted where they must be."""

    def cell(text: str) -> str:
        special = (delimiter, quote, "\n")
        marked = text.replace(quote, (escape or quote) + quote)
        return f"{quote}{marked}{quote}" if any(s in text for s in special) else text

    return "".join(delimiter.join(map(cell, row)) + end for row in rows)


def general_files() -> Iterator[General]:
    """All of them."""
    text = written([HEADER, *ROWS])
    for name, data in (*_forms(text), *_surroundings(text), *_insides(text)):
        yield General(name, data if isinstance(data, bytes) else data.encode(), HEADER, ROWS)
    yield from _cells()
    yield from _headers(text)
    yield from _uneven(text)


def _forms(text: str) -> Iterator[tuple[str, str | bytes]]:
    for delimiter in DELIMITERS:
        yield f"delimiter {delimiter!r}", written([HEADER, *ROWS], delimiter)
    for encoding in ENCODINGS:
        yield f"encoding {encoding}", text.encode(encoding)
    for end in ("\r\n", "\r"):
        yield f"record end {end!r}", written([HEADER, *ROWS], end=end)
    yield "record ends mixed", text.replace("\n", "\r\n", 3)
    yield "last end missing", text.removesuffix("\n")
    yield "separator line", "sep=;\n" + written([HEADER, *ROWS], ";")
    yield "lines quoted whole", "".join(f'"{line}"\n' for line in text.splitlines())
    yield "cells padded", text.replace(",", " , ")


def _surroundings(text: str) -> Iterator[tuple[str, str]]:
    prose = "".join(f"Line {i} of the terms, which are long.\n" for i in range(12))
    yield "title", "Sales report\n" + text
    yield "title and gap", "Sales report 2021\nMade by a tool\n\n" + text
    yield "pairs over it", "Report,Sales\nDate,2021-04-01\n,,,,,\n" + text
    yield "comments over it", "# a comment\n# another, with a comma\n" + text
    yield "long prose over it", prose + text
    yield "blank lines over it", "\n\n" + text
    yield "small table over it", "code,label\nA,alpha\nB,beta\n\n" + text
    yield "footnote", text + "\nSource: somewhere\n"
    yield "footnote with commas", text + "\nNote: preliminary, unaudited, and may change\n"
    yield "footnotes padded", text + "Notes,,,,,\n* preliminary,,,,,\n"
    yield "total under it", text + "Total,,,1309.84,,\n"
    yield "small table under it", text + "\ncode,label\nA,alpha\nB,beta\n"


def _insides(text: str) -> Iterator[tuple[str, str]]:
    yield "empty lines", text.replace("2,Bob", "\n2,Bob").replace("5,Eve", "\n\n5,Eve")
    yield "rows of delimiters", text.replace("5,Eve", ",,,,,\n5,Eve")
    yield "delimiters at the ends", text.replace("\n", ",\n")
    yield (
        "delimiters at the ends of rows",
        ",".join(HEADER) + "\n" + written(ROWS).replace("\n", ",\n"),
    )
    yield "header again", text.replace("4,Dan", f"{','.join(HEADER)}\n4,Dan")


def _cells() -> Iterator[General]:
    rows = [HEADER, *SPECIAL]
    yield General("doubled quotes", written(rows).encode(), HEADER, SPECIAL)
    yield General("escaped quotes", written(rows, escape="\\").encode(), HEADER, SPECIAL)
    yield General("line ends in cells", written(rows, end="\r\n").encode(), HEADER, SPECIAL)
    paths = [list(row) for row in ROWS]
    paths[0][1], paths[2][1] = 'at C:\\new "x", or', "8\\'9 wide"
    data = written([HEADER, *paths], escape="\\").encode()
    yield General("backslashes before other signs", data, HEADER, paths)
    single = written(rows, quote="'").encode()
    yield General("single quotes", single, HEADER, SPECIAL)
    links = [["http://x.org/a?b=1;c=2", "200", "1,024"], ["http://y.org/c|d", "404", "512"]]
    links = [*links, ["http://x.org/b?b=2;c=3", "200", "2,048"]]
    head = ["url", "status", "bytes"]
    yield General("delimiters in links", written([head, *links]).encode(), head, links)
    documents = [["1", '{"a": 1, "b": [1, 2]}'], ["2", '{"a": 2, "b": []}'], ["3", '{"a": 3}']]
    yield General(
        "documents in cells", written([["id", "doc"], *documents]).encode(), None, documents
    )
    names = [["1", "O'Neil", "3"], ["2", "D'Arcy", "4"], ["3", "L'Orme", "5"]]
    yield General("apostrophes", written([["id", "name", "v"], *names]).encode(), None, names)
    people = [["Average Joe", "3"], ["Max Power", "4"], ["Total Eclipse", "5"]]
    yield General("names like sums", written([["name", "n"], *people]).encode(), None, people)
    decimals = [["1,5", "2,25"], ["2,5", "4,125"], ["0,5", "9,75"]]
    yield General("decimal commas", written([["a", "b"], *decimals], ";").encode(), None, decimals)
    words = [["Berlin"], ["Paris"], ["Oslo"]]
    yield General("one column", written([["city"], *words]).encode(), ["city"], words)


def _headers(text: str) -> Iterator[General]:
    yield General("no header", written(ROWS).encode(), None, ROWS)
    yield General("groups over it", (",,Place,Money,When,\n" + text).encode(), None, ROWS)
    units = text.replace("active\n", "active\n-,-,-,EUR,-,-\n")
    yield General("units under it", units.encode(), None, ROWS)
    twice = ["id", "name", "name", *HEADER[3:]]
    yield General("a name twice", text.replace("city", "name").encode(), twice, ROWS)
    gap = ["id", "name", "", *HEADER[3:]]
    yield General("a name missing", text.replace("city", "").encode(), gap, ROWS)


def _uneven(text: str) -> Iterator[General]:
    sound = [row for row in ROWS if row[0] != "4"]
    row = "4,Dan,,3.10,2021-03-04,false"
    yield General("a row too short", text.replace(row, "4,Dan").encode(), HEADER, sound)
    yield General("a row too long", text.replace(row, f"{row},more").encode(), HEADER, sound)
    spoken = [list(row) for row in ROWS]
    spoken[1][1], spoken[3][1] = "Bob's, not Al's, boat", "Dan's, den"
    quoted = written([HEADER, *spoken])
    merged = quoted.replace('4,"Dan', '4"Dan')
    yield General(
        "a delimiter missing before quotes and apostrophes",
        merged.encode(),
        HEADER,
        [row for row in spoken if row[0] != "4"],
    )
    wider = "".join(f"{line},\n" for line in quoted.splitlines())
    row = wider[wider.index("5,Eve") :].split("\n", 1)[0]
    odd = wider.replace(row, '5,"Eve, 5","" and all,"New York, NY",88.00,2021-03-05,')
    odd = odd.replace("active,", "active,more")
    yield General(
        "a wider table with stray quotes under it", (quoted + odd).encode(), HEADER, spoken
    )
    nul = text.replace("Dan", "Da\x00n").encode()
    yield General("a null byte", nul, HEADER, sound)
