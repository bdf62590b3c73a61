"""A stream of bytes in any encoding to a stream of UTF-8, deciding as late as it can.

Blocks that are UTF-8 pass through as they are. As long as all was ASCII the encoding is open; the
first block that says more is put to the same ladder as a small file.
"""

import codecs
from collections.abc import Iterable, Iterator
from itertools import chain

from ingest.encoding import TWICE, decode


class Utf8Blocks:
    """Iterates over UTF-8 blocks; `encoding` names what was found, final once all are taken."""

    def __init__(self, blocks: Iterable[bytes]) -> None:
        self._blocks = iter(blocks)
        self.encoding = "utf-8"

    def __iter__(self) -> Iterator[bytes]:
        held = b""
        open_question, first = True, True
        for block in self._blocks:
            data = held + block
            if open_question and (first or not data.isascii()):
                found = decode(data)
                if not _is_utf8(found.encoding):
                    self.encoding = found.encoding
                    yield from self._transcoded(data)
                    return
                if found.encoding == TWICE:
                    self.encoding = found.encoding
                    yield from self._undone(data)
                    return
                if first and found.encoding == "utf-8-sig":
                    self.encoding = found.encoding
                open_question = data.isascii()
            first = False
            data, held = _without_open_tail(data)
            yield data if open_question or data.isascii() else _unmarked(_repaired(data))
        if held:
            yield _unmarked(_repaired(held))

    def _transcoded(self, data: bytes) -> Iterator[bytes]:
        decoder = codecs.getincrementaldecoder(self.encoding)(errors="replace")
        yield _unmarked(decoder.decode(data).encode())
        for block in self._blocks:
            yield _unmarked(decoder.decode(block).encode())
        tail = decoder.decode(b"", final=True)
        if tail:
            yield tail.encode()

    def _undone(self, data: bytes) -> Iterator[bytes]:
        """UTF-8 that was encoded twice, undone by whole lines."""
        held = data
        for block in chain([b""], self._blocks):
            held += block
            end = held.rfind(b"\n") + 1
            if end:
                yield _once(held[:end])
            held = held[end:]
        if held:
            yield _once(held)


def _once(data: bytes) -> bytes:
    """The lines encoded once, or as they are where that does not undo."""
    try:
        undone = data.decode().encode("cp1252")
        undone.decode()
    except UnicodeError:
        return _unmarked(_repaired(data))
    return _unmarked(undone)


def _is_utf8(encoding: str) -> bool:
    return encoding.startswith("utf-8")


def _unmarked(data: bytes) -> bytes:
    return data.replace(codecs.BOM_UTF8, b"")


def _without_open_tail(data: bytes) -> tuple[bytes, bytes]:
    """Cut off the last bytes when they begin a character that the next block ends."""
    for back in range(1, min(4, len(data) + 1)):
        byte = data[-back]
        if byte < 0x80:
            break
        if byte >= 0xC0:
            needed = 2 if byte < 0xE0 else 3 if byte < 0xF0 else 4
            return (data[:-back], data[-back:]) if needed > back else (data, b"")
    return data, b""


def _repaired(data: bytes) -> bytes:
    """The block with U+FFFD for bytes that are no UTF-8."""
    try:
        data.decode()
    except UnicodeDecodeError:
        return data.decode(errors="replace").encode()
    return data
