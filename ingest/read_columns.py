"""A large text file as columns of text, in batches of bounded memory.

The same answers as `ingest.read_csv` gives: the head is found by the same code, pieces that prove
regular are cut by a columnar reader, and every other piece (down to a few hundred lines around an
odd one) goes the careful way.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import polars as pl

from ingest.body import BodyReader
from ingest.containers import kind_of, opened, refuse_foreign, unpacked
from ingest.cut_short import COMPARED, take_cut_record
from ingest.dialect import choose_cutting, sample_of
from ingest.encoding_stream import Utf8Blocks
from ingest.errors import NotTabular, TooLarge
from ingest.header_fit import form_fit, with_form
from ingest.lines_before import separator_hint
from ingest.physical_lines import Lines, split_lines
from ingest.records import cut_rows
from ingest.regular_piece import RegularPiece, last_safe_end, prove
from ingest.sheet import Dialect, HeaderFit, RowFault, Section, Structure
from ingest.structure import LEAST_SCORE, Frame, finished, frame_of, metadata_of

_HEAD_BYTES = 256 * 1024
_CAREFUL_BYTES = 64 * 1024
_LARGEST_PIECE = 8 * 2**20
_HELD_LINES = 110  # a quoted cell may run over 100 lines; a second table shows in four


@dataclass(frozen=True, slots=True)
class ColumnBatch:
    """Consecutive records. `frame` has string columns `c0 …` in the order of the header.

    `lines` are their first physical lines; `raw(i)` is the source text of record i.
    """

    frame: pl.DataFrame
    lines: npt.NDArray[np.int64]
    raw: Callable[[int], str]


class ColumnSheet:
    """One table of a text, read once from front to end by `batches()`.

    Header, units, dialect and the metadata over the table are there from the start. `structure`,
    `faults`, `sections`, `n_lines` and metadata under the table are whole when the batches are.
    """

    def __init__(self, blocks: Utf8Blocks, name: str, fit: HeaderFit) -> None:
        self.name = name
        self._blocks, self._iterator = blocks, iter(blocks)
        self._at_end = False
        self._buffer = self._first_bytes()
        self._frame, newline = self._find_head(with_form(fit))
        head, cutting = self._frame.head, self._frame.cutting
        self.header, self.header_line, self.units = head.names, head.header_line, head.units
        self.metadata = dict(self._frame.metadata)
        self.dialect = Dialect(
            blocks.encoding, cutting.delimiter, cutting.quote, cutting.escape, newline
        )
        self.structure: tuple[Structure, ...] = self._frame.structure
        self.faults: tuple[RowFault, ...] = self._frame.faults
        self.sections: tuple[Section, ...] = ()
        self.n_lines = head.last_line
        self._reader = BodyReader(head, self._frame.profile, cutting)
        self._last_record = 0
        self._last_cells: list[str] = []
        self._ended = True

    def batches(self) -> Iterator[ColumnBatch]:
        """The records in order. Each batch holds at most some 8 MB of text."""
        size = _LARGEST_PIECE
        while self._buffer or not self._at_end:
            self._fill()
            piece = self._regular(size)
            if piece:
                frame = self._plain_frame(piece)
                if frame is not None:
                    yield self._take(piece, frame)
                    size = min(size * 4, _LARGEST_PIECE)
                    continue
            if size > _CAREFUL_BYTES and len(self._buffer) > _CAREFUL_BYTES:
                size = max(_CAREFUL_BYTES, min(size, len(self._buffer)) // 4)
                continue
            batch = self._carefully()
            if batch:
                yield batch
            size *= 2
        self._finish()

    def _first_bytes(self) -> bytes:
        data = b""
        while len(data) < _HEAD_BYTES:
            block = next(self._iterator, None)
            if block is None:
                self._at_end = True
                break
            data += block
        return data

    def _find_head(self, fit: HeaderFit) -> tuple[Frame, str]:
        text = self._buffer[:_HEAD_BYTES].decode(errors="ignore")
        lines = split_lines(text)
        if not any(line.strip("\x00\x1a \t") for line in lines.texts):
            raise NotTabular("the file is empty.", "Export it again.", file=self.name)
        judged = choose_cutting(lines, fit, separator_hint(lines.texts[0]))
        if judged.score < LEAST_SCORE:
            raise NotTabular(
                "no columns were found in the text.", "Export the data as CSV.", file=self.name
            )
        frame = frame_of(cut_rows(sample_of(lines), judged.cutting), lines, judged, fit)
        self._buffer = self._buffer[_n_bytes(lines, frame.head.last_line) :]
        return frame, lines.newline

    def _fill(self) -> None:
        """Have a piece's worth of bytes at hand, or all that is left."""
        parts, size = [self._buffer], len(self._buffer)
        while size < _LARGEST_PIECE and not self._at_end:
            block = next(self._iterator, None)
            if block is None:
                self._at_end = True
                break
            parts.append(block)
            size += len(block)
        if len(parts) > 1:
            self._buffer = b"".join(parts)

    def _regular(self, size: int) -> RegularPiece | None:
        """A proven piece of about `size` bytes at the front of the buffer, if it is one."""
        cutting, head = self._frame.cutting, self._frame.head
        if len(cutting.delimiter) != 1 or cutting.escape or cutting.delimiter == " ":
            return None
        if not cutting.delimiter.isascii() or cutting.quote not in {'"', None}:
            return None
        if self._reader.in_other_table or head.width < 2:
            return None
        data = self._buffer[:size]
        data = data[: last_safe_end(data, cutting.quote)]
        if not data:
            return None
        surplus = self._frame.profile.surplus
        if surplus > 1:
            return None
        piece = prove(data, cutting.delimiter, cutting.quote, self._frame.cells_per_row)
        return piece if piece and (not surplus or piece.ends_empty()) else None

    def _plain_frame(self, piece: RegularPiece) -> pl.DataFrame | None:
        """The cells of the piece, when every row of it can only be a record."""
        plain, skip = self._reader.plain, self._frame.head.skip
        first = piece.first_bytes(skip)
        wordy = np.flatnonzero(plain.wordy(first))
        if len(wordy) and plain.doubtful(first[wordy], piece.n_filled(wordy)).any():
            return None
        alone = piece.followed_by_gaps(skip) if plain.lone else wordy[:0]
        if len(alone) and (piece.n_filled(alone) <= plain.lone).any():
            return None
        if plain.probe >= 0 and plain.lettered(piece.first_bytes(plain.probe + skip)).any():
            return None
        frame = self._cut(piece)
        for column in plain.label_columns:
            words = np.flatnonzero(plain.wordy(piece.first_bytes(column + skip)))
            texts: list[str] = frame[f"c{column}"].gather(words).unique().to_list()
            if not all(plain.is_plain_text(text, column) for text in texts):
                return None
        return frame

    def _cut(self, piece: RegularPiece) -> pl.DataFrame:
        skip, width = self._frame.head.skip, self._frame.head.width
        frame = pl.read_csv(
            piece.data,
            has_header=False,
            separator=self._frame.cutting.delimiter,
            quote_char='"' if b'"' in piece.data else None,
            infer_schema=False,
            empty_string_is_null=False,
            raise_if_empty=False,
        ).fill_null("")
        frame = frame.select(frame.columns[skip : skip + width])
        return frame.rename(dict(zip(frame.columns, self._names(), strict=True)))

    def _names(self) -> list[str]:
        return [f"c{i}" for i in range(self._frame.head.width)]

    def _take(self, piece: RegularPiece, frame: pl.DataFrame) -> ColumnBatch:
        lines = piece.line_of_row + (self.n_lines + 1)
        self.n_lines += piece.n_lines
        self._last_record, self._ended = int(lines[-1]), True
        self._buffer = self._buffer[len(piece.data) :]
        self._last_cells = frame.to_series(-1).tail(COMPARED).to_list()
        return ColumnBatch(frame, lines, piece.raw())

    def _carefully(self) -> ColumnBatch | None:
        """Sort the lines at the front one by one, holding back what later lines may still join."""
        data = self._buffer[:_CAREFUL_BYTES]
        lines, whole = self._lines_in(data)
        while not whole and len(lines.texts) <= 2 * _HELD_LINES and len(data) < len(self._buffer):
            data = self._buffer[: 2 * len(data)]
            lines, whole = self._lines_in(data)
        if not whole and len(lines.texts) <= _HELD_LINES:
            raise TooLarge(
                "a line is longer than any row.",
                "Check the line ends.",
                file=self.name,
                row=self.n_lines + 1,
            )
        cutting = self._frame.cutting
        rows = cut_rows(lines, cutting, self._frame.cells_per_row)
        stop = len(lines.texts) if whole else len(lines.texts) - _HELD_LINES
        taken = [row for row in rows if row.line <= stop]
        done = taken[-1].line + taken[-1].n_lines - 1
        body = self._reader.read(rows, lines, self.n_lines, len(taken))
        self._buffer = self._buffer[_n_bytes(lines, done) :]
        self.n_lines += done
        self._ended = lines.ended
        records, body.records = body.records, []
        if records and whole and not lines.ended:
            width = self._frame.head.width
            take_cut_record(records, self._last_cells, body, self.n_lines, width)
        if not records:
            return None
        self._last_record = records[-1].line
        self._last_cells = [record.cells[-1] for record in records[-COMPARED:]]
        columns = zip(*(record.cells for record in records), strict=True)
        frame = pl.DataFrame(dict(zip(self._names(), columns, strict=True)), schema=self._schema())
        raws = [record.raw for record in records]
        at = np.array([record.line for record in records], dtype=np.int64)
        return ColumnBatch(frame, at, raws.__getitem__)

    def _lines_in(self, data: bytes) -> tuple[Lines, bool]:
        """The complete lines in `data`, and whether they are all that is left of the file."""
        whole = self._at_end and len(data) == len(self._buffer)
        if not whole:
            end = max(data.rfind(b"\n"), data.rfind(b"\r", 0, len(data) - 1))
            if data[end : end + 2] == b"\r\n":
                end += 1
            data = data[: end + 1]
        return split_lines(data.decode()), whole

    def _schema(self) -> dict[str, pl.DataType]:
        return {name: pl.String() for name in self._names()}

    def _finish(self) -> None:
        cut_at = None if self._ended else self.n_lines
        body = finished(self._reader.body, self._frame.head.width, self._last_record, cut_at)
        self.structure = (*self._frame.structure, *body.structure)
        self.faults = (*self._frame.faults, *body.faults)
        self.sections = tuple(body.sections)
        self.metadata = metadata_of(self.metadata, body, self._frame.cutting)


@contextmanager
def read_columns(
    source: Path | bytes, *, name: str | None = None, fit: HeaderFit = form_fit
) -> Iterator[ColumnSheet]:
    """A text file (plain, gzip, zstd, or alone in a zip) of any size, as columns.

    Raises NotReadable, TooLarge and NotTabular; the last also for what only `read_sheets` reads: a
    single column, or lines each wrapped in quotes.
    """
    shown = name or (source.name if isinstance(source, Path) else "text")
    with opened(source, shown) as stream:
        start = stream.read(64)
        if kind_of(start) in {"xls", "parquet"}:
            raise NotTabular("this is no text file.", "Read it as sheets.", file=shown)
        refuse_foreign(start, shown)
        yield ColumnSheet(Utf8Blocks(unpacked(stream, shown)), shown, fit)


def _n_bytes(lines: Lines, n: int) -> int:
    return sum(len(lines.texts[i].encode()) + len(lines.end_of(i)) for i in range(n))
