"""What the bytes are packed in, and unpacking them within limits.

gzip, zstd and a zip of one file are opened as if the file lay there plain. Limits hold while
streaming, so a bomb is refused long before it fills the memory.
"""

import gzip
import io
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import zstandard

from ingest.errors import NotReadable, NotTabular, TooLarge

MAX_BYTES_WHOLE = 64 * 2**20
"""Most bytes that are held and read whole; larger sources are read in batches."""
MAX_BYTES_STREAMED = 16 * 2**30
"""Most bytes that a source may unpack to."""
MAX_RATIO = 250
"""Most that a source may grow by unpacking, once it is past `_RATIO_COUNTS_FROM`."""
_RATIO_COUNTS_FROM = 16 * 2**20
BLOCK_BYTES = 4 * 2**20
PLAIN_TEXT = frozenset({".csv", ".tsv", ".txt"})
_PACKED = frozenset({".gz", ".zst", ".zip"})

_FOREIGN = {
    b"%PDF": "a PDF document",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"7z\xbc\xaf": "a 7z archive",
    b"Rar!": "a rar archive",
    b"SQLite format 3": "a database",
    b"\x7fELF": "a program",
    b"BZh": "a bzip2 archive",
    b"\xfd7zXZ": "an xz archive",
}
# What the unpackers raise for damaged bytes. RuntimeError means encrypted or an unknown method.
_DAMAGE = (
    OSError, EOFError, ValueError, LookupError, OverflowError, struct.error, zlib.error,
    zipfile.BadZipFile, zstandard.ZstdError,
)  # fmt: skip
_MARKUP = (b"<!doctype", b"<html", b"<table", b"<?xml", b"<svg")


def kind_of(start: bytes) -> str:
    """`gzip`, `zstd`, `zip`, `xls`, `parquet` or `text`, from the first bytes."""
    marks = {
        b"\x1f\x8b": "gzip",
        b"\x28\xb5\x2f\xfd": "zstd",
        b"PK\x03\x04": "zip",
        b"PK\x05\x06": "zip",
        b"\xd0\xcf\x11\xe0": "xls",
        b"PAR1": "parquet",
    }
    return next((kind for mark, kind in marks.items() if start.startswith(mark)), "text")


def refuse_foreign(start: bytes, name: str) -> None:
    """Raise NotReadable or NotTabular for what is plainly no text table."""
    for mark, what in _FOREIGN.items():
        if start.startswith(mark):
            raise NotReadable(f"this is {what}, not a table.", "Export the data as CSV.", file=name)
    if start.lstrip(b"\xef\xbb\xbf \t\r\n")[:16].lower().startswith(_MARKUP):
        raise NotTabular(
            "this is a web page or XML, not a text table.", "Export the data as CSV.", file=name
        )


@contextmanager
def opened(source: Path | bytes, name: str) -> Iterator[IO[bytes]]:
    """The source as a binary stream. Raises NotReadable."""
    try:
        stream: IO[bytes] = io.BytesIO(source) if isinstance(source, bytes) else source.open("rb")
    except OSError as fault:
        reason = f"the file cannot be opened: {fault.strerror}."
        raise NotReadable(reason, "Check the path and its permissions.", file=name) from fault
    with stream:
        yield stream


def unpacked(stream: IO[bytes], name: str, limit: int = MAX_BYTES_STREAMED) -> Iterator[bytes]:
    """Blocks of the content, unpacked. Raises NotReadable and TooLarge while streaming."""
    stream.seek(0)
    start = stream.read(8)
    stream.seek(0, io.SEEK_END)
    packed = max(stream.tell(), 1)
    stream.seek(0)
    kind = kind_of(start)
    grown = 0
    try:
        for block in _blocks(stream, kind, name):
            grown += len(block)
            _check_size(grown, packed, limit, name)
            yield block
    except _DAMAGE as fault:
        raise NotReadable(
            f"the {kind} file is damaged: {fault}.", "Fetch or export it again.", file=name
        ) from fault
    except RuntimeError as fault:  # zip: encrypted, or packed by a method that is not known
        raise NotReadable(
            f"the zip file cannot be unpacked: {fault}.", "Unpack it first.", file=name
        ) from fault


def whole(stream: IO[bytes], name: str) -> bytes:
    """All bytes of the stream as they are. Raises TooLarge."""
    data = stream.read(MAX_BYTES_WHOLE + 1)
    _check_size(len(data), len(data), MAX_BYTES_WHOLE, name)
    return data


def _check_size(grown: int, packed: int, limit: int, name: str) -> None:
    if grown > limit:
        size = f"more than {limit // 2**20} MB"
        raise TooLarge(f"the content is {size}.", "Split the file and import the parts.", file=name)
    if grown > _RATIO_COUNTS_FROM and grown > MAX_RATIO * packed:
        raise TooLarge(
            f"it unpacks to more than {MAX_RATIO} times its size.",
            "Unpack it yourself if you trust it, and import what comes out.",
            file=name,
        )


def _blocks(stream: IO[bytes], kind: str, name: str) -> Iterator[bytes]:
    if kind == "gzip":
        with gzip.open(stream) as inner:
            yield from iter(lambda: inner.read(BLOCK_BYTES), b"")
    elif kind == "zstd":
        with zstandard.ZstdDecompressor(max_window_size=2**27).stream_reader(stream) as inner:
            yield from iter(lambda: inner.read(BLOCK_BYTES), b"")
    elif kind == "zip":
        with zipfile.ZipFile(stream) as archive, archive.open(_only_member(archive, name)) as inner:
            yield from iter(lambda: inner.read(BLOCK_BYTES), b"")
    else:
        yield from iter(lambda: stream.read(BLOCK_BYTES), b"")


def _only_member(archive: zipfile.ZipFile, name: str) -> zipfile.ZipInfo:
    members = [
        member
        for member in archive.infolist()
        if not member.is_dir()
        and not member.filename.startswith("__MACOSX/")
        and not member.filename.rsplit("/", 1)[-1].startswith(".")
    ]
    if len(members) != 1:
        raise NotReadable(
            f"the zip holds {len(members)} files; one is expected.",
            "Unpack it and import the files together.",
            file=name,
        )
    return members[0]


def text_bytes(source: Path) -> int:
    """About how many bytes a file holds once unpacked, when that is a plain text; else 0.

    What a packed file says of itself is believed here, and held to the limits while unpacking.
    """
    suffix = source.suffix.lower()
    if suffix in PLAIN_TEXT:
        return source.stat().st_size
    inner = Path(source.stem).suffix.lower()
    if suffix not in _PACKED or (suffix != ".zip" and inner not in PLAIN_TEXT):
        return 0
    try:
        return _says_of_itself(source)
    except (*_DAMAGE, RuntimeError, NotReadable):
        return 0


def _says_of_itself(source: Path) -> int:
    packed = source.stat().st_size
    with source.open("rb") as stream:
        start = stream.read(64)
        kind = kind_of(start)
        if kind == "gzip" and packed >= 8:
            stream.seek(-4, io.SEEK_END)
            size: int = struct.unpack("<I", stream.read(4))[0]
            return max(size, packed)
        if kind == "zstd":
            return max(zstandard.frame_content_size(start), packed)
        if kind != "zip":
            return 0
        with zipfile.ZipFile(stream) as archive:
            member = _only_member(archive, source.name)
            plain = Path(member.filename).suffix.lower() in PLAIN_TEXT
            return member.file_size if plain else 0


def is_workbook(data: bytes) -> bool:
    """Whether these bytes are a spreadsheet (xlsx, xlsb, ods by their members; xls by its mark)."""
    kind = kind_of(data[:8])
    if kind != "zip":
        return kind == "xls"
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = set(archive.namelist())
            if "mimetype" in names and archive.getinfo("mimetype").file_size < 200:
                return b"spreadsheet" in archive.read("mimetype")
    except (*_DAMAGE, RuntimeError):
        return False
    return any(member.startswith("xl/workbook") for member in names)


def refuse_large_workbook(data: bytes, name: str) -> None:
    """Raise TooLarge when the members say that they unpack beyond the limits."""
    if kind_of(data[:8]) != "zip":
        return
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            grown = sum(member.file_size for member in archive.infolist())
    except _DAMAGE as fault:
        raise NotReadable(
            f"the workbook is damaged: {fault}.", "Fetch or save it again.", file=name
        ) from fault
    _check_size(grown, max(len(data), 1), 8 * MAX_BYTES_WHOLE, name)
