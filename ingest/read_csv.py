"""Any delimited text, workbook, JSON lines or Parquet → header, text cells, lines, structure.

Usable on its own: `read_sheets(Path("session.csv"))`. Nothing is given a meaning here and nothing
is dropped: every physical line is a record, structure or a fault (see `ingest.sheet`).
"""

from dataclasses import replace
from pathlib import Path

from ingest.body import Body
from ingest.cell_scanner import Cutting
from ingest.cell_shapes import is_label, is_measured
from ingest.containers import (
    MAX_BYTES_WHOLE,
    is_workbook,
    kind_of,
    opened,
    refuse_foreign,
    unpacked,
    whole,
)
from ingest.dialect import Judged, choose_cutting
from ingest.encoding import decode
from ingest.errors import NotTabular, TooLarge
from ingest.header_fit import form_fit, with_form
from ingest.lines_before import separator_hint
from ingest.physical_lines import Lines, split_lines
from ingest.read_open_tables import looks_like_json_lines, read_json_lines, read_parquet
from ingest.read_xlsx import read_workbook
from ingest.sheet import Dialect, HeaderFit, Sheet
from ingest.structure import LEAST_SCORE, Frame, sheet_of, sort_lines

_ONE_COLUMN_SHARE = 0.6
LONGEST_LINE = 2**20
"""Characters of the longest line that is taken for a row."""


def read_sheets(
    source: Path | bytes, *, name: str | None = None, fit: HeaderFit = form_fit
) -> list[Sheet]:
    """The tables in a file (or its bytes): one for a text, one per filled sheet of a workbook.

    Args:
        name: what to call the source in errors and in `Sheet.name`; by default the path's name.
        fit: how well cells look like a header of a known kind; by default judged by form alone.

    Raises:
        NotReadable, TooLarge, NotTabular.
    """
    shown = name or (source.name if isinstance(source, Path) else "text")
    data = _content(source, shown)
    kind = kind_of(data[:8])
    if kind == "parquet":
        return [read_parquet(data, shown)]
    if is_workbook(data):
        return read_workbook(data, shown, with_form(fit))
    refuse_foreign(data[:64], shown)
    return [read_text(data, shown, fit)]


def read_text(data: bytes, name: str, fit: HeaderFit = form_fit) -> Sheet:
    """The table in the bytes of a text file. Raises NotTabular."""
    decoded = decode(data)
    if looks_like_json_lines(decoded.text):
        return read_json_lines(decoded.text, name, decoded.encoding)
    lines = split_lines(decoded.text)
    if not any(text.strip("\x00\x1a \t") for text in lines.texts):
        raise NotTabular("the file is empty.", "Export it again.", file=name)
    _refuse_long_lines(lines, name)
    judged, frame, body = _table(lines, with_form(fit), name)
    cutting = judged.cutting
    quote = cutting.quote if cutting.quote and cutting.quote in decoded.text else None
    dialect = Dialect(decoded.encoding, cutting.delimiter, quote, cutting.escape, lines.newline)
    return sheet_of(name, frame, body, dialect, len(lines.texts))


def _refuse_long_lines(lines: Lines, name: str) -> None:
    for number, text in enumerate(lines.texts, 1):
        if len(text) > LONGEST_LINE:
            raise TooLarge(
                f"the line is longer than any row ({len(text)} characters).",
                "Check that the lines of the file end.",
                file=name,
                row=number,
            )


def _content(source: Path | bytes, name: str) -> bytes:
    """The bytes of the source, unpacked unless they are a workbook."""
    with opened(source, name) as stream:
        start = stream.read(8)
        stream.seek(0)
        if kind_of(start) == "zip":
            data = whole(stream, name)
            if is_workbook(data):
                return data
            stream.seek(0)
        return b"".join(unpacked(stream, name, MAX_BYTES_WHOLE))


def _table(lines: Lines, fit: HeaderFit, name: str) -> tuple[Judged, Frame, Body]:
    hint = separator_hint(lines.texts[0])
    judged = choose_cutting(lines, fit, hint)
    if judged.score >= LEAST_SCORE:
        return judged, *sort_lines(lines, judged, fit)
    inner = _unwrapped(lines)
    if inner:
        judged = choose_cutting(inner, fit)
        if judged.score >= LEAST_SCORE:
            return judged, *_with_raw_of(lines, *sort_lines(inner, judged, fit))
    if _is_one_column(lines):
        judged = Judged(Cutting(""), 1.0, 1, certain=True)
        return judged, *sort_lines(lines, judged, fit)
    raise NotTabular(
        "no columns were found in the text.", "Export the data as CSV and try again.", file=name
    )


def _is_one_column(lines: Lines) -> bool:
    filled = [text for text in lines.texts[:200] if text.strip()]
    if sum(map(is_measured, filled)) >= max(2, _ONE_COLUMN_SHARE * len(filled)):
        return True
    return len(filled) > 2 and all(map(_is_name, filled))


def _is_name(text: str) -> bool:
    """A word or two, as a column of names or codes has them and prose has not."""
    return is_label(text) and len(text.split()) <= 2 and text.strip()[-1].isalnum()


def _unwrapped(lines: Lines) -> Lines | None:
    """The lines without the quotes around each whole line, as a table saved twice has them."""
    filled = [text for text in lines.texts if text.strip()]
    wrapped = [text for text in filled if len(text) > 1 and text[0] == text[-1] == '"']
    if len(wrapped) < 0.8 * len(filled) or len(filled) < 2:
        return None
    texts = [
        text[1:-1].replace('""', '"') if len(text) > 1 and text[0] == text[-1] == '"' else text
        for text in lines.texts
    ]
    return Lines(texts, lines.ends, lines.newline, lines.ended)


def _with_raw_of(lines: Lines, frame: Frame, body: Body) -> tuple[Frame, Body]:
    """The same with the raw text as it stood in the file."""

    def raw(line: int, n_lines: int) -> str:
        return lines.join(line - 1, line - 1 + n_lines)

    body.records = [replace(part, raw=raw(part.line, part.n_lines)) for part in body.records]
    body.faults = [replace(part, raw=raw(part.line, part.n_lines)) for part in body.faults]
    return frame, body
