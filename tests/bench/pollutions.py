"""One sound table, spoiled in every way that files in the wild are, with what is still true of it.

The kinds of spoiling follow the idea of the public data-loading benchmark "Pollock" (Vitagliano et
al., VLDB 2023): one standard file, one pollution at a time, and a score for what a reader makes of
it. The table, the pollutions and the truth are our own.
"""

import csv
import gzip
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

Rows = list[list[str]]

HEADER = ["Shot", "Date", "Time", "Club", "Ball Speed", "Launch", "Carry", "Side", "Note"]
N_ROWS = 40
_NOTES = ("", "clean", "a bit thin, low", 'he said "nice"', "wet; soft", "good | better")


def standard_rows() -> Rows:
    """Forty shots with everything that makes quoting necessary."""
    return [
        [
            str(i),
            "2026-05-14",
            f"10:{i:02d}:{(7 * i) % 60:02d}",
            ("SW", "PW", "GW 52")[i % 3],
            f"{11 + (i % 7) * 0.35:.2f}",
            f"{24 + (i % 5) * 1.5:.1f}",
            f"{9 + (i % 7) * 0.8:.2f}",
            f"{-1 + (i % 4) * 0.55:.2f}",
            _NOTES[i % len(_NOTES)],
        ]
        for i in range(1, N_ROWS + 1)
    ]


@dataclass(frozen=True)
class Polluted:
    """The bytes of a file and its truth: `rows` that are sound, `lost` keys of rows that are not.

    A lost row may be left out or set aside; loading it with other cells than `rows` is an error.
    """

    name: str
    data: bytes
    header: Sequence[str] = tuple(HEADER)
    rows: Rows = field(default_factory=standard_rows)
    lost: frozenset[str] = frozenset()
    suffix: str = ".csv"


def text_of(rows: Rows, header: Sequence[str] | None = HEADER, **options: object) -> str:
    """The table as text by the standard library's writer."""
    out = io.StringIO()
    settings = {"lineterminator": "\n", **options}
    writer = csv.writer(out, **settings)  # type: ignore[arg-type]  # options differ by pollution
    if header:
        writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def polluted_files() -> list[Polluted]:
    """Every pollution, each on a fresh copy of the standard table."""
    return [*_whole_file(), *_around_the_table(), *_dialects(), *_encodings(), *_single_rows()]


def _file(name: str, text: str, **truth: object) -> Polluted:
    return Polluted(name, text.encode(), **truth)  # type: ignore[arg-type]  # passed through


def _whole_file() -> Iterator[Polluted]:
    rows = standard_rows()
    text = text_of(rows)
    yield _file("clean", text)
    yield _file("no line end at the end", text[:-1])
    yield _file("two line ends at the end", text + "\n")
    yield _file("header only", text_of([]), rows=[])
    yield _file("one row", text_of(rows[:1]), rows=rows[:1])
    yield _file("no header", text_of(rows, None), header=())
    yield _file("end mark of old systems", text + "\x1a")
    yield _file("zero bytes after the end", text + "\x00" * 512)
    yield Polluted("gzip", gzip.compress(text.encode(), mtime=0), suffix=".csv.gz")
    cut = text[: text.rindex(",")]
    cut = cut[: cut.rindex(",") - 1]
    yield _file("cut off in the last row", cut, rows=rows[:-1], lost=frozenset({str(N_ROWS)}))


def _around_the_table() -> Iterator[Polluted]:
    rows = standard_rows()
    text = text_of(rows)
    title = "Session report\n"
    pairs = "Player: Kim\nPlace: Lower Meadow\nDate: 2026-05-14\n"
    head, body = text.split("\n", 1)
    yield _file("one line over it", title + text)
    yield _file("three pairs over it", pairs + text)
    yield _file("title, pairs and gaps over it", f"{title}\n{pairs}\n{text}")
    padded = "".join(f"{line}{',' * 8}\n" for line in (title + pairs).splitlines())
    yield _file("padded lines over it", padded + text)
    yield _file("pairs in two cells over it", pairs.replace(": ", ",") + "\n" + text)
    yield _file("comments over it", "# made by hand\n# zone=UTC\n" + text)
    yield _file("separator line", "sep=,\n" + text)
    yield _file("groups over the header", ",,,,Ball,,Landing,,\n" + text)
    yield _file("units under the header", f"{head}\n,,,,m/s,deg,m,m,\n{body}")
    yield _file("rule under the header", f"{head}\n{'-' * 60}\n{body}")
    summary = "Average,,,,12.1,27.0,11.4,-0.2,\nStd Dev,,,,0.7,2.1,1.6,0.6,\n"
    yield _file("summary under it", text + summary)
    yield _file("summary with gap under it", text + "\n" + summary)
    yield _file("footnotes under it", text + "\nMeasured outdoors\nExported 2026-05-15\n")
    lines = body.splitlines(keepends=True)
    middle = len(lines) // 2
    half = ["".join(lines[:middle]), "".join(lines[middle:])]
    yield _file("header again", f"{head}\n{half[0]}{head}\n{half[1]}")
    yield _file("blank lines inside", f"{head}\n{half[0]}\n\n{half[1]}")
    yield _file("rows of delimiters inside", f"{head}\n{half[0]}{',' * 8}\n{half[1]}")
    yield _file("headings inside", f"{head}\nBlock 1\n{half[0]}Block 2\n{half[1]}")
    yield _file("comment inside", f"{head}\n{half[0]}# new ball\n{half[1]}")
    yield _file("narrower table after it", text + "\nPlace,Wind\nMeadow,2.1\nHill,3.4\n")
    wide = ",".join(f"Field {i}" for i in range(12)) + "\n" + ",".join("1" * 12) + "\n"
    yield _file("wider table after it", text + "\n" + wide)


def _dialects() -> Iterator[Polluted]:
    rows = standard_rows()
    for name, delimiter in (("semicolon", ";"), ("tab", "\t"), ("pipe", "|"), ("caret", "^")):
        yield _file(f"{name} between cells", text_of(rows, delimiter=delimiter))
    simple = [[*row[:8], row[8].split(",")[0].split(" ")[0]] for row in rows]
    joined = {"comma and space": ", ", "two bars": "||", "bar in spaces": " | "}
    for name, delimiter in joined.items():
        body = "\n".join(delimiter.join(row) for row in [HEADER, *simple]) + "\n"
        yield _file(f"{name} between cells", body, rows=simple)
    narrow = [[*row[:3], row[3][:2], *row[4:8]] for row in rows]
    header = [name.replace(" ", "_") for name in HEADER[:8]]
    spaced = text_of(narrow, header, delimiter=" ")
    yield _file("space between cells", spaced, header=header, rows=narrow)
    yield _file("space between cells, some quoted", text_of(rows, delimiter=" "))
    runs = "\n".join("".join(f"{cell:<14}" for cell in row) for row in [HEADER[:8], *narrow]) + "\n"
    yield _file("columns by spaces", runs, header=HEADER[:8], rows=narrow)
    bars = "\n".join(f"| {' | '.join(row)} |" for row in [HEADER, *simple]) + "\n"
    yield _file("framed by bars", bars, rows=simple)
    yield _file("apostrophe as quote", text_of(rows, quotechar="'", quoting=csv.QUOTE_ALL))
    escaped = {"doublequote": False, "escapechar": "\\"}
    yield _file("backslash before quotes", text_of(rows, **escaped))
    bare = {"quoting": csv.QUOTE_NONE, "escapechar": "\\", "quotechar": None}
    yield _file("backslash before delimiters", text_of(rows, **bare))
    yield _file("all cells quoted", text_of(rows, quoting=csv.QUOTE_ALL))
    lines = text_of(rows).splitlines()
    wrapped = [f'"{line.replace(chr(34), chr(34) * 2)}"' for line in lines]
    yield _file("lines quoted whole", "\n".join(wrapped) + "\n")
    yield _file("delimiter at the end of all lines", "".join(f"{line},\n" for line in lines))
    ragged = [lines[0], *(f"{line}," for line in lines[1:])]
    yield _file("delimiter at the end of rows", "\n".join(ragged) + "\n")
    comma = [[cell.replace(".", ",") for cell in row] for row in rows]
    yield _file("decimal commas", text_of(comma, delimiter=";"), rows=comma)
    yield _file("decimal commas in quotes", text_of(comma), rows=comma)
    for name, newline in (("CR LF", "\r\n"), ("CR", "\r"), ("LF CR", "\n\r")):
        yield _file(f"lines end in {name}", text_of(rows, lineterminator=newline))
    mixed = [line + ("\r\n" if i % 2 else "\n") for i, line in enumerate(lines)]
    yield _file("line ends mixed", "".join(mixed))


def _encodings() -> Iterator[Polluted]:
    rows = [[*row[:8], "grün" if row[8] == "clean" else row[8]] for row in standard_rows()]
    header = [*HEADER[:8], "Nähe"]
    text = text_of(rows, header)
    for encoding in ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "cp850"):
        yield Polluted(f"encoded as {encoding}", text.encode(encoding), header, rows)
    twice = text.encode().decode("cp1252").encode()
    yield Polluted("UTF-8 encoded twice", twice, header, rows)
    eastern = ["番号", *HEADER[1:8], "メモ欄"]
    japanese = [[*row[:8], "良い感じ" if row[8] == "grün" else row[8]] for row in rows]
    for encoding in ("shift_jis", "euc_jp"):
        data = text_of(japanese, eastern).encode(encoding)
        yield Polluted(f"encoded as {encoding}", data, eastern, japanese)
    korean = [[*row[:8], "좋은 샷" if row[8] == "grün" else row[8]] for row in rows]
    data = text_of(korean, ["번호", *HEADER[1:8], "메모"]).encode("euc_kr")
    yield Polluted("encoded as euc_kr", data, ["번호", *HEADER[1:8], "메모"], korean)
    lines = text_of(standard_rows()).encode().splitlines(keepends=True)
    lines[13] = lines[13].replace(b"\n", b"\xe4\n")
    sound = [row for row in standard_rows() if row[0] != "13"]
    lines[1] = lines[1].replace(b"\n", " gröün\n".encode())
    sound[0] = [*sound[0][:8], sound[0][8] + " gröün"]
    data = b"".join(lines)
    yield Polluted("one byte of another encoding", data, HEADER, sound, frozenset({"13"}))


def _with_row(number: int, change: Callable[[str], str], lost: bool = True) -> tuple[str, Rows]:
    """The text with one row's line changed, and the rows that are still sound."""
    lines = text_of(standard_rows()).splitlines()
    lines[number] = change(lines[number])
    rows = [row for row in standard_rows() if not lost or row[0] != str(number)]
    return "\n".join(lines) + "\n", rows


def _single_rows() -> Iterator[Polluted]:
    changes: dict[str, tuple[int, Callable[[str], str]]] = {
        "delimiter missing early": (7, lambda line: line.replace(",", "", 1)),
        "delimiter missing late": (11, lambda line: "".join(line.rsplit(",", 1))),
        "delimiter missing in the first row": (1, lambda line: line.replace(",", " ", 1)),
        "delimiter too many early": (7, lambda line: line.replace(",", ",,", 1)),
        "delimiter too many and filled": (13, lambda line: line.replace(",", ",9,", 1)),
        "half a row": (19, lambda line: line[: len(line) // 2]),
        "quote opened and not closed": (12, lambda line: '"' + line),
        "quote opened in the middle": (12, lambda line: line.replace(",SW", ',"SW', 1)),
        "zero byte inside": (9, lambda line: line.replace("10:", "10\x00", 1)),
        "two rows in one line": (18, lambda line: line + "," + line),
    }
    for name, (number, change) in changes.items():
        text, rows = _with_row(number, change)
        yield _file(name, text, rows=rows, lost=frozenset({str(number), f"{number}2026-05-14"}))
    for name, mark in (("semicolons", ";"), ("tabs", "\t"), ("bars", "|")):
        text, rows = _with_row(6, lambda line, mark=mark: line.replace(",", mark), lost=False)
        yield _file(f"one row with {name}", text, rows=rows)
    text, rows = _with_row(2, lambda line: line.replace('"', "'"), lost=False)
    yield _file("apostrophes for quotes in one row", text, rows=rows)
    rows = standard_rows()
    rows[7][8] = 'said "go", then hit'
    bare = text_of(rows).replace('""', '"')
    yield _file("quotes not doubled before a delimiter", bare, rows=rows)
    text, rows = _with_row(9, lambda line: line.replace('""', '"'), lost=False)
    yield _file("quotes not doubled", text, rows=rows)
    text, rows = _with_row(6, lambda line: ",".join(f'"{cell}"' for cell in line.split(",")), False)
    yield _file("one row quoted", text, rows=rows)
    rows = standard_rows()
    for row in rows[4:20:5]:
        row[8] = "first line\nsecond, line"
    yield _file("line ends in cells", text_of(rows), rows=rows)
    rows = standard_rows()
    for row in rows[::3]:
        row[8] = "12' 6\" past"
    plain = "\n".join(",".join(row) for row in [HEADER, *rows[::3]]) + "\n"
    yield _file("feet and inches unquoted", plain, rows=rows[::3])
